"""The sentences of the casting checks, by code; `%(name)s` stands for a number or a name of the finding."""

from typing import Final

from estimates.calc.wording import gettext_noop

TEXTS: Final = {
    "exposure.grade": gettext_noop(
        "Grade %(grade)s is below %(least)s, the least for %(exposure)s exposure. Ask the engineer."
    ),
    "exposure.slab_cover": gettext_noop(
        "Cover of the slab, %(value)s %(unit)s, is below %(limit)s %(unit)s for %(exposure)s exposure. "
        "Ask the engineer."
    ),
    "exposure.beam_cover": gettext_noop(
        "Cover of the beams, %(value)s %(unit)s, is below %(limit)s %(unit)s for %(exposure)s exposure. "
        "Ask the engineer."
    ),
    "exposure.water_cement": gettext_noop(
        "Water/cement %(value)s is above %(limit)s, the most for %(exposure)s exposure. Ask the engineer."
    ),
    "exposure.cement": gettext_noop(
        "Cement of %(value)s kg/m³ is below %(limit)s kg/m³, the least for %(exposure)s exposure "
        "with stone of %(stone)s mm. Ask the engineer."
    ),
    "mix.not_trialled": gettext_noop(
        "The mix is proportioned by %(method)s and not yet trialled. Cast trial mixes; the engineer decides."
    ),
    "mix.stone_to_sand": gettext_noop(
        "Stone to sand by mass, %(value)s, lies outside %(least)s to %(most)s. Ask the engineer."
    ),
    "exposure.air": gettext_noop(
        "Air of %(value)s %% is below %(limit)s %%, the least for %(exposure)s exposure. Ask the engineer."
    ),
    "exposure.air_unstated": gettext_noop(
        "Exposure %(exposure)s asks for at least %(limit)s %% of air, and the sheet states none. "
        "Enter what the engineer specifies."
    ),
    "cover.relieved": gettext_noop(
        "Cover of the slab, %(value)s %(unit)s, is below %(limit)s %(unit)s; it is allowed while every main "
        "bar is as small as the largest here, %(bar)s mm."
    ),
    "cover.bar": gettext_noop(
        "Cover of the slab, %(value)s %(unit)s, is smaller than its bar of %(bar)s mm. Ask the engineer."
    ),
    "cover.class_open": gettext_noop(
        "Exposure %(exposure)s says nothing of cover. Add the class for corrosion, as XC3, that the drawing "
        "shows."
    ),
    "cover.surroundings_open": gettext_noop(
        "The sheet does not say whether the slab is sheltered, in weather or against earth; cover is held "
        "against the least, that of a sheltered slab."
    ),
    "grade.class": gettext_noop(
        "%(grade)s is not a class of the standard: its two strengths are no pair. Check the drawing."
    ),
    "cement.most": gettext_noop(
        "Cement of %(value)s %(unit)s is above %(limit)s %(unit)s. More cement cracks more; ask the engineer."
    ),
    "mix.nominal_grade": gettext_noop(
        "A nominal mix is not meant for %(grade)s: above %(most)s a mix is designed. Ask the engineer."
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
        "A slab of %(value)s %(unit)s is thinner than %(limit)s %(unit)s, the least on most sites. "
        "Ask the engineer."
    ),
    "thickness.better": gettext_noop(
        "A slab of %(value)s %(unit)s is thin; %(limit)s %(unit)s is better practice."
    ),
    "thickness.fire": gettext_noop(
        "A slab of %(value)s %(unit)s is thinner than %(limit)s %(unit)s, the least for %(minutes)s minutes "
        "of fire. Ask the engineer."
    ),
    "stone.cover": gettext_noop(
        "Cover of %(value)s %(unit)s is small for stone of %(stone)s mm: %(limit)s %(unit)s lets it pass "
        "between bar and form. Ask the engineer for a smaller size."
    ),
    "stone.spacing": gettext_noop(
        "Bars %(mark)s lie %(value)s %(unit)s clear of each other; stone of %(stone)s mm asks for "
        "%(limit)s %(unit)s. Ask the engineer for a smaller size."
    ),
    "placing.beams_apart": gettext_noop(
        "The beams are to be cast apart from the slab, and no word of the engineer on the joint is recorded. "
        "Cast them in one pour, or ask the engineer."
    ),
    "placing.beams_apart_agreed": gettext_noop(
        "The beams are cast apart from the slab, along the joint that the engineer describes."
    ),
    "placing.free_fall": gettext_noop(
        "Concrete that falls %(value)s %(unit)s falls further than %(limit)s %(unit)s and separates. "
        "Use a chute or a hose."
    ),
    "placing.time": gettext_noop(
        "%(value)s minutes from water to place are more than %(limit)s. Mix nearer, or bring it faster."
    ),
    "placing.temperature": gettext_noop(
        "Fresh concrete of %(value)s °C is hotter than %(limit)s °C. Cool water and stone, or cast at night."
    ),
    "placing.too_cold": gettext_noop(
        "Fresh concrete of %(value)s °C is colder than %(limit)s °C. Warm the water, or wait."
    ),
    "placing.hot": gettext_noop(
        "Air of %(value)s °C is above %(limit)s °C, and no measures against heat are written down. "
        "Plan shade, cool water, early hours and wind breaks."
    ),
    "placing.cold": gettext_noop(
        "Air of %(value)s °C is not above %(limit)s °C, and no measures against frost are written down. "
        "Plan warm water and insulation."
    ),
    "placing.rain": gettext_noop(
        "Rain may fall, and no measures are written down. Have sheets for the whole slab, a shelter and a "
        "stop-end ready."
    ),
    "placing.no_spare_vibrator": gettext_noop(
        "No spare vibrator is planned. One that stops leaves the pour half compacted: have a second ready."
    ),
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
    "joint.agreed": gettext_noop(
        "Joint %(joint)s carries no engineer's name or no date. Ask the engineer whether it may stand there."
    ),
    "falsework.unknown": gettext_noop(
        "Props and planks are not known: the formwork designer's drawing with its counts is not entered. "
        "No spacing is assumed."
    ),
    "opening.trimmers": gettext_noop(
        "Opening %(opening)s, %(long)s by %(short)s mm, is wider than the bars' spacing of %(spacing)s mm, "
        "and no bar of the schedule is for its edges. Ask the engineer for trimmers."
    ),
    "steel.cutting": gettext_noop(
        "Bars of %(size)s: plain cutting of the schedule's lengths takes %(value)s bars of %(stock)s m, "
        "the order by length has %(ordered)s. Settle the cutting before ordering."
    ),
    "steel.spacing_most": gettext_noop(
        "Bars %(mark)s lie %(value)s mm apart; in a slab of %(thickness)s mm they may lie at most "
        "%(limit)s mm apart. Ask the engineer."
    ),
    "steel.spacing_main": gettext_noop(
        "Bars %(mark)s lie %(value)s mm apart: as distribution bars they may, as main bars at most "
        "%(limit)s mm in a slab of %(thickness)s mm. Say which they are."
    ),
    "steel.spacing_clear": gettext_noop(
        "Between bars %(mark)s of %(size)s are %(value)s mm; stone of %(stone)s mm needs at least "
        "%(limit)s mm. Ask the engineer."
    ),
    "steel.minimum": gettext_noop(
        "Bars along %(way)s (%(marks)s) are %(value)s mm²/m, below %(limit)s mm²/m, the least of this "
        "slab. Ask the engineer."
    ),
    "steel.minimum_row": gettext_noop(
        "Bars %(mark)s are %(value)s mm²/m, below %(limit)s mm²/m, the least of this slab one way. Check "
        "whether others lie beside them."
    ),
    "steel.one_way": gettext_noop("No bar runs along %(way)s over the whole slab. Ask the engineer."),
    "steel.secondary": gettext_noop(
        "Bottom bars along %(weak)s are %(value)s %% of those along %(strong)s; at least %(limit)s %% are"
        " usual. Ask the engineer."
    ),
    "steel.size_most": gettext_noop(
        "Bars of %(size)s are larger than %(limit)s mm, the most in a slab of %(thickness)s mm. Ask "
        "the engineer."
    ),
    "steel.one_off": gettext_noop(
        "Only %(metres)s m of %(size)s bars are needed (%(marks)s), less than one bar of %(stock)s m. Ask"
        " whether another size may do."
    ),
    "steel.lap_size": gettext_noop(
        "Bars %(mark)s of %(size)s are lapped; above %(limit)s mm bars are welded or coupled. Ask the"
        " engineer."
    ),
    "steel.lap_short": gettext_noop(
        "Laps of %(mark)s are %(value)s mm by the engineer's answer; the code asks %(limit)s mm of a "
        "fully used bar in tension. Ask the engineer."
    ),
    "steel.lap_open": gettext_noop("Laps of %(mark)s cannot be held against the code: %(why)s."),
    "steel.lap_share": gettext_noop(
        "%(value)s %% of the bars %(marks)s may be lapped at one section by the answer; %(limit)s %% is "
        "the most. Ask the engineer how they are staggered."
    ),
    "steel.bundle_bars": gettext_noop(
        "Bars %(mark)s are bundled by %(value)s; at most %(limit)s may touch. Ask the engineer."
    ),
    "steel.bundle_size": gettext_noop(
        "The bundle of %(mark)s counts as a bar of %(value)s mm; at most %(limit)s mm are allowed. "
        "Ask the engineer."
    ),
    "steel.leg": gettext_noop(
        "Leg %(letter)s of %(mark)s is %(value)s mm, its least for a %(size)s bar is %(limit)s mm. Ask "
        "the engineer."
    ),
}
