from .pdf import pdf_of_sheets as pdf_of_sheets
from .step import step as step
from .svg import svg_of_sheet as svg_of_sheet
