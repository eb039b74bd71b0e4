"""Parameters that several handles have: unit and meaning; the numbers are a profile's own.

A profile says ``length: float = usual.length(118.0, 95.0, 145.0)``, as blades do (``blade_parameters.py``).
"""

from __future__ import annotations

from bladegeom.outline.parameter import CommonParameter

length = CommonParameter("mm", "handle front to butt, along x")
length_to_rear = CommonParameter("mm", "handle front to the rear of the butt, along x")
drop = CommonParameter("mm", "top of the butt below the spine line")
flare = CommonParameter("mm", "butt higher than the steel at the handle front")
relief = CommonParameter("mm", "underside behind the first finger above that of the handle front")
butt_round = CommonParameter("mm", "where the butt's rounding begins, ahead of its rear")
butt_corners = CommonParameter("mm", "rounding of the butt's corners, to each side")
crown = CommonParameter("mm", "top of the palm above the spine line")
