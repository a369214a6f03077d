"""The sentences of the casting checks, by code; `%(name)s` stands for a number or a name of the finding."""

from typing import Final

from estimates.calc.wording import gettext_noop

TEXTS: Final = {
    "exposure.grade": gettext_noop(
        "Grade M%(value)s is below M%(limit)s, the least for %(exposure)s exposure. Ask the engineer."
    ),
    "exposure.slab_cover": gettext_noop(
        "Cover of the slab, %(value)s mm, is below %(limit)s mm for %(exposure)s exposure. Ask the engineer."
    ),
    "exposure.beam_cover": gettext_noop(
        "Cover of the beams, %(value)s mm, is below %(limit)s mm for %(exposure)s exposure. Ask the engineer."
    ),
    "exposure.water_cement": gettext_noop(
        "Water/cement %(value)s is above %(limit)s, the most for %(exposure)s exposure. Ask the engineer."
    ),
    "exposure.cement": gettext_noop(
        "Cement of %(value)s kg/m³ is below %(limit)s kg/m³, the least for %(exposure)s exposure "
        "with stone of %(stone)s mm. Ask the engineer."
    ),
    "cement.most": gettext_noop(
        "Cement of %(value)s kg/m³ is above %(limit)s kg/m³. More cement cracks more; ask the engineer."
    ),
    "mix.nominal_grade": gettext_noop(
        "A nominal mix is not meant for M%(value)s: above M%(limit)s a mix is designed. Ask the engineer."
    ),
    "mix.parts": gettext_noop(
        "Parts 1:%(sand)s:%(stone)s are not the usual 1:%(usual_sand)s:%(usual_stone)s of %(grade)s. "
        "Check the drawing."
    ),
    "mix.stone_split": gettext_noop(
        "Stone of 20 mm is %(value)s %% of the stone; %(limit)s %% is usual in a slab. Check the drawing."
    ),
    "stone.size": gettext_noop(
        "Stone of %(stone)s mm is more than %(limit)s of the thickness of %(thickness)s mm. "
        "Ask the engineer for a smaller size."
    ),
    "thickness.least": gettext_noop(
        "A slab of %(value)s mm is thinner than %(limit)s mm, the least on most sites. Ask the engineer."
    ),
    "thickness.better": gettext_noop("A slab of %(value)s mm is thin; %(limit)s mm is better practice."),
    "drawing.engineer": gettext_noop(
        "The drawing names no engineer. Find out who answers for it before casting."
    ),
    "drawing.revision": gettext_noop("The drawing shows no revision. Make sure that it is the latest."),
    "drawing.date": gettext_noop("The drawing shows no date. Make sure that it is the latest."),
    "curing.days": gettext_noop(
        "Curing of %(value)s days is shorter than %(limit)s days for this cement and weather. Cure longer."
    ),
    "curing.cement": gettext_noop(
        "The kind of cement is not known: curing is reckoned as for blended cement, %(limit)s days. "
        "Enter the cement once it is bought."
    ),
    "allowance.twice": gettext_noop(
        "The allowance of %(value)s %% for %(kind)s comes on top of %(held)s %% that the mix's dry factor "
        "holds already. A loss may be bought twice."
    ),
    "opening.trimmers": gettext_noop(
        "Opening %(opening)s, %(long)s by %(short)s mm, is wider than the bars' spacing of %(spacing)s mm, "
        "and no bar of the schedule is for its edges. Ask the engineer for trimmers."
    ),
    "steel.cutting": gettext_noop(
        "Bars of %(size)s mm: plain cutting of the schedule's lengths takes %(value)s bars of %(stock)s m, "
        "the order by length has %(ordered)s. Settle the cutting before ordering."
    ),
}
