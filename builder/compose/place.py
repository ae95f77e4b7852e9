"""Where an object comes from, as far as the public may know it.

In: a locality and how it is to be shown. Out: a sentence on the place, and sentences on what is kept back. The free
text of a locality never goes out: it may name a garden gate. Nothing is left blank without a reason (Chapman 2020,
*Current Best Practices for Generalizing Sensitive Species Occurrence Data*, GBIF).
"""

from __future__ import annotations

from decimal import Decimal

from builder.model.museum import HouseRules
from builder.model.record import STEPS, Locality
from builder.weigh.locality import generalise, information_withheld


def public_place(locality: Locality | None, rules: HouseRules) -> tuple[str, list[str]]:
    """The place in words, empty where none may be shown, and what to say of what is withheld."""
    if locality is None:
        return "", []
    region = ", ".join(filter(None, (locality.county, locality.country)))
    known = locality.latitude is not None and locality.longitude is not None
    withheld = []
    step = STEPS.get(locality.show)
    if step is not None and step < rules.coordinate_step:
        step = rules.coordinate_step
    if locality.show == "withheld" or not known or step is None:
        shown = region if locality.show == "county" else ""
        if locality.text or known or (region and not shown):
            withheld.append(information_withheld(None, locality.because or ""))
        return (f"From {shown}." if shown else ""), withheld
    assert locality.latitude is not None and locality.longitude is not None
    place = generalise(locality.latitude, locality.longitude, step, locality.uncertainty_m)
    latitude = _degrees(place.latitude, "N", "S")
    longitude = _degrees(place.longitude, "E", "W")
    where = f"{region}, near" if region else "Near"
    distance = place.uncertainty_m
    text = f"{where} {latitude}, {longitude}, to within {distance:,} m. {place.data_generalizations}"
    withheld.append(information_withheld(place.step, locality.because or ""))
    return text, withheld


def _degrees(value: Decimal, positive: str, negative: str) -> str:
    return f"{abs(value):f}° {negative if value < 0 else positive}"
