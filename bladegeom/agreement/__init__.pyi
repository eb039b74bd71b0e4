from .agree import agree as agree
from .agreed_toml import read_agreed as read_agreed
from .check_agreed import check_agreed as check_agreed
from .compared import Compared as Compared
from .offer_now import offer_now as offer_now
from .words import agreement_words as agreement_words
from .words import standing_of_agreement as standing_of_agreement
