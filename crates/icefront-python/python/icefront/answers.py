"""Keys of the answers, with types and units. Written by answers.py from docs/json.md."""

from __future__ import annotations

from typing import Literal, Optional

from .group import Drawn, Group, Predicted

__all__ = ["PlanAnswer", "ComparisonAnswer", "ExplanationAnswer", "PrefreezingAnswer", "UpdateAnswer", "LessonAnswer", "FoodsAnswer", "DryersAnswer", "EvidenceAnswer"]


class PlanTime(Group):
    """How long it takes; unknown where the run was stopped before its end rule was met. In h.

    total: Whole run. In h.
    freezing: Food freezes in the cabinet; shelves and condenser cool down. In h.
    evacuation: The pump removes the air. In h.
    primary_drying: Ice still sublimes somewhere in the load. In h.
    secondary_drying: The ice is gone; sorbed water leaves. In h.
    defrost: The ice on the condenser is melted off. In h.
    food_ready: From the start until the food can be taken out: all but the defrost. In h.
    """

    _keys = ('total', 'freezing', 'evacuation', 'primary_drying', 'secondary_drying', 'defrost', 'food_ready')
    _parts = {'total': Predicted, 'freezing': Predicted, 'evacuation': Predicted, 'primary_drying': Predicted, 'secondary_drying': Predicted, 'defrost': Predicted, 'food_ready': Predicted}
    total: Predicted
    """Whole run. In h."""
    freezing: Predicted
    """Food freezes in the cabinet; shelves and condenser cool down. In h."""
    evacuation: Predicted
    """The pump removes the air. In h."""
    primary_drying: Predicted
    """Ice still sublimes somewhere in the load. In h."""
    secondary_drying: Predicted
    """The ice is gone; sorbed water leaves. In h."""
    defrost: Predicted
    """The ice on the condenser is melted off. In h."""
    food_ready: Predicted
    """From the start until the food can be taken out: all but the defrost. In h."""


class PlanTraysParts(Group):
    """Only with `embedded` or `uneven_contact`: the parts of the tray side by side.

    with_pieces: Whether it is the columns in which embedded pieces lie.
    floor_share: Share of the tray's floor, 0 to 1.
    contact_factor: Factor on the heat from below.
    ice_gone_at_h: Last ice gone, from the start; `null`: never. In h.
    dry_at_h: Wettest spot under the target, from the start; `null`: never. In h.
    """

    _keys = ('with_pieces', 'floor_share', 'contact_factor', 'ice_gone_at_h', 'dry_at_h')
    with_pieces: bool
    """Whether it is the columns in which embedded pieces lie."""
    floor_share: Optional[float]
    """Share of the tray's floor, 0 to 1."""
    contact_factor: Optional[float]
    """Factor on the heat from below."""
    ice_gone_at_h: Optional[float]
    """Last ice gone, from the start; `null`: never. In h."""
    dry_at_h: Optional[float]
    """Wettest spot under the target, from the start; `null`: never. In h."""


class PlanTrays(Group):
    """Trays from the bottom to the top.

    tray: Name, as in the sheet.
    food: Food, as in the sheet.
    dry_at_h: Wettest spot under the target, from the start; `null`: never. In h.
    ice_gone_at_h: Last ice gone, from the start; `null`: never. In h.
    front_max_c: Warmest the ice front became. In degC.
    front_mean_c: The same on average over ice and time in the typical run: what its texture is judged by. In degC.
    residual_moisture: Water by weight in the wettest spot at the end, 0 to 1.
    parts: Only with `embedded` or `uneven_contact`: the parts of the tray side by side.
    flags: What is wrong with it: what spoils it in more than 1 sample in 10, the rest in most samples.
    """

    _keys = ('tray', 'food', 'dry_at_h', 'ice_gone_at_h', 'front_max_c', 'front_mean_c', 'residual_moisture', 'parts', 'flags')
    _lists = ('parts', 'flags')
    _parts = {'dry_at_h': Predicted, 'ice_gone_at_h': Predicted, 'front_max_c': Predicted, 'residual_moisture': Predicted, 'parts': PlanTraysParts}
    tray: str
    """Name, as in the sheet."""
    food: str
    """Food, as in the sheet."""
    dry_at_h: Optional[Predicted]
    """Wettest spot under the target, from the start; `null`: never. In h."""
    ice_gone_at_h: Optional[Predicted]
    """Last ice gone, from the start; `null`: never. In h."""
    front_max_c: Predicted
    """Warmest the ice front became. In degC."""
    front_mean_c: Optional[float]
    """The same on average over ice and time in the typical run: what its texture is judged by. In degC."""
    residual_moisture: Predicted
    """Water by weight in the wettest spot at the end, 0 to 1."""
    parts: list[PlanTraysParts]
    """Only with `embedded` or `uneven_contact`: the parts of the tray side by side."""
    flags: list[Literal['softens', 'shrinks', 'collapses', 'melts', 'not-frozen', 'ice-left', 'not-dry', 'fatty']]
    """What is wrong with it: what spoils it in more than 1 sample in 10, the rest in most samples."""


class PlanEnergyByStage(Group):
    """By stage; these sum to the total in a run, as the consumers do. In kWh.

    freezing: Food freezes in the cabinet; shelves and condenser cool down. In kWh.
    evacuation: The pump removes the air. In kWh.
    primary_drying: Ice still sublimes somewhere in the load. In kWh.
    secondary_drying: The ice is gone; sorbed water leaves. In kWh.
    defrost: The ice on the condenser is melted off. In kWh.
    """

    _keys = ('freezing', 'evacuation', 'primary_drying', 'secondary_drying', 'defrost')
    _parts = {'freezing': Predicted, 'evacuation': Predicted, 'primary_drying': Predicted, 'secondary_drying': Predicted, 'defrost': Predicted}
    freezing: Predicted
    """Food freezes in the cabinet; shelves and condenser cool down. In kWh."""
    evacuation: Predicted
    """The pump removes the air. In kWh."""
    primary_drying: Predicted
    """Ice still sublimes somewhere in the load. In kWh."""
    secondary_drying: Predicted
    """The ice is gone; sorbed water leaves. In kWh."""
    defrost: Predicted
    """The ice on the condenser is melted off. In kWh."""


class PlanEnergy(Group):
    """Electric energy; unknown in a rig. In kWh.

    total: Whole run. In kWh.
    compressor: Compressor of the refrigeration. In kWh.
    vacuum_pump: Vacuum pump. In kWh.
    heaters: Shelf heaters, and a defrost heater. In kWh.
    other: Controls and fans. In kWh.
    by_stage: By stage; these sum to the total in a run, as the consumers do. In kWh.
    """

    _keys = ('total', 'compressor', 'vacuum_pump', 'heaters', 'other', 'by_stage')
    _parts = {'total': Predicted, 'compressor': Predicted, 'vacuum_pump': Predicted, 'heaters': Predicted, 'other': Predicted, 'by_stage': PlanEnergyByStage}
    total: Predicted
    """Whole run. In kWh."""
    compressor: Predicted
    """Compressor of the refrigeration. In kWh."""
    vacuum_pump: Predicted
    """Vacuum pump. In kWh."""
    heaters: Predicted
    """Shelf heaters, and a defrost heater. In kWh."""
    other: Predicted
    """Controls and fans. In kWh."""
    by_stage: PlanEnergyByStage
    """By stage; these sum to the total in a run, as the consumers do. In kWh."""


class PlanWater(Group):
    """Water of the whole load. In kg.

    loaded: In the food at the start. In kg.
    removed: Taken out. In kg.
    left: Still in the food at the end. In kg.
    """

    _keys = ('loaded', 'removed', 'left')
    _parts = {'loaded': Predicted, 'removed': Predicted, 'left': Predicted}
    loaded: Predicted
    """In the food at the start. In kg."""
    removed: Predicted
    """Taken out. In kg."""
    left: Predicted
    """Still in the food at the end. In kg."""


class PlanCost(Predicted):
    """Cost of the electricity; unknown without a `[tariff]`.

    currency: Of what, as the sheet says.
    """

    _keys = ('low', 'median', 'high', 'typical_run', 'currency')
    currency: Optional[str]
    """Of what, as the sheet says."""


class PlanBalance(Group):
    """Relative errors of the sums, which are computed, not predicted.

    mass_rel: Water not accounted for over water loaded.
    energy_rel: Heat not accounted for over heat through food and condenser.
    """

    _keys = ('mass_rel', 'energy_rel')
    mass_rel: Optional[float]
    """Water not accounted for over water loaded."""
    energy_rel: Optional[float]
    """Heat not accounted for over heat through food and condenser."""


class PlanLimits(Group):
    """How near the load is to the machine's limits, in that run; not in a rig.

    ice_of_room: Ice over the condenser's room for it.
    vapour_wanted_kg_per_h: Vapour of the first half of the ice with heaters that pressure does not hold back; `null` where no pressure limit is. In kg/h.
    vapour_taken_kg_per_h: What the condenser takes at the pressure limit. In kg/h.
    heaters_held_back_share: Share of primary drying with the heaters held back.
    heaters_full_power_share: Share of primary drying with the heaters at full power.
    trays_of_shelves: Trays over the shelves.
    highest_food_of_allowed: Highest food over the height that is allowed, 80 % of the clear height.
    largest_load_share: The largest load that goes well at least 9 times in 10, over this one: 3 at most, 0 where even a tenth does not.
    take_out_kg: Food to take out so that the rest is inside all limits. In kg.
    stops: What the next larger load runs into.
    """

    _keys = ('ice_of_room', 'vapour_wanted_kg_per_h', 'vapour_taken_kg_per_h', 'heaters_held_back_share', 'heaters_full_power_share', 'trays_of_shelves', 'highest_food_of_allowed', 'largest_load_share', 'take_out_kg', 'stops')
    _lists = ('stops',)
    ice_of_room: Optional[float]
    """Ice over the condenser's room for it."""
    vapour_wanted_kg_per_h: Optional[float]
    """Vapour of the first half of the ice with heaters that pressure does not hold back; `null` where no pressure limit is. In kg/h."""
    vapour_taken_kg_per_h: Optional[float]
    """What the condenser takes at the pressure limit. In kg/h."""
    heaters_held_back_share: Optional[float]
    """Share of primary drying with the heaters held back."""
    heaters_full_power_share: Optional[float]
    """Share of primary drying with the heaters at full power."""
    trays_of_shelves: Optional[float]
    """Trays over the shelves."""
    highest_food_of_allowed: Optional[float]
    """Highest food over the height that is allowed, 80 % of the clear height."""
    largest_load_share: Optional[float]
    """The largest load that goes well at least 9 times in 10, over this one: 3 at most, 0 where even a tenth does not."""
    take_out_kg: Optional[float]
    """Food to take out so that the rest is inside all limits. In kg."""
    stops: list[str]
    """What the next larger load runs into."""


class PlanRangeChanceLoad(Group):
    """What the machine makes of the load: the chance of each verdict.

    fine: Nothing holds it up.
    slow_but_safe: The heaters wait for the condenser for much of the time: hours, not food, are lost.
    too_much: Something spoils the batch or harms the machine.
    """

    _keys = ('fine', 'slow_but_safe', 'too_much')
    fine: Optional[float]
    """Nothing holds it up."""
    slow_but_safe: Optional[float]
    """The heaters wait for the condenser for much of the time: hours, not food, are lost."""
    too_much: Optional[float]
    """Something spoils the batch or harms the machine."""


class PlanRangeChance(Group):
    """Chance, 0 to 1, that some tray shows it, or the load.

    softens: Some food softens, or shrinks, as its ice front is so warm.
    shrinks: Some food shrinks.
    load: What the machine makes of the load: the chance of each verdict.
    not_frozen: A tray is not frozen when the pump starts.
    melts: A tray melts while it dries.
    collapses: A tray without cell walls collapses.
    ice_left: Ice is left at the end.
    not_dry: A tray is not dry at the end.
    no_room_for_ice: More ice than the condenser has room for.
    too_high: Food stands too near the shelf above.
    """

    _keys = ('softens', 'shrinks', 'load', 'not_frozen', 'melts', 'collapses', 'ice_left', 'not_dry', 'no_room_for_ice', 'too_high')
    _parts = {'load': PlanRangeChanceLoad}
    softens: Optional[float]
    """Some food softens, or shrinks, as its ice front is so warm."""
    shrinks: Optional[float]
    """Some food shrinks."""
    load: PlanRangeChanceLoad
    """What the machine makes of the load: the chance of each verdict."""
    not_frozen: Optional[float]
    """A tray is not frozen when the pump starts."""
    melts: Optional[float]
    """A tray melts while it dries."""
    collapses: Optional[float]
    """A tray without cell walls collapses."""
    ice_left: Optional[float]
    """Ice is left at the end."""
    not_dry: Optional[float]
    """A tray is not dry at the end."""
    no_room_for_ice: Optional[float]
    """More ice than the condenser has room for."""
    too_high: Optional[float]
    """Food stands too near the shelf above."""


class PlanRangeMeasureFirst(Group):
    """Which measurements would narrow the time until the food is ready, the best first.

    what: What to measure.
    narrows_by: Share of the range that it takes away.
    """

    _keys = ('what', 'narrows_by')
    what: str
    """What to measure."""
    narrows_by: Optional[float]
    """Share of the range that it takes away."""


class PlanRange(Group):
    """What the samples say; only where some were made.

    draws: Samples used.
    refused: Samples left out because they could not be computed: quantities that contradict each other, or a step that did not converge. The text report mentions them once they are more than 1 in 100.
    sentence: The answer in one sentence.
    chance: Chance, 0 to 1, that some tray shows it, or the load.
    measure_first: Which measurements would narrow the time until the food is ready, the best first.
    """

    _keys = ('draws', 'refused', 'sentence', 'chance', 'measure_first')
    _lists = ('measure_first',)
    _parts = {'chance': PlanRangeChance, 'measure_first': PlanRangeMeasureFirst}
    draws: int
    """Samples used."""
    refused: int
    """Samples left out because they could not be computed: quantities that contradict each other, or a step that did not converge. The text report mentions them once they are more than 1 in 100."""
    sentence: str
    """The answer in one sentence."""
    chance: PlanRangeChance
    """Chance, 0 to 1, that some tray shows it, or the load."""
    measure_first: list[PlanRangeMeasureFirst]
    """Which measurements would narrow the time until the food is ready, the best first."""


class PlanAnswer(Group):
    """The answer of ``icefront plan``.

    time_h: How long it takes; unknown where the run was stopped before its end rule was met. In h.
    trays: Trays from the bottom to the top.
    energy_kwh: Electric energy; unknown in a rig. In kWh.
    water_kg: Water of the whole load. In kg.
    cost: Cost of the electricity; unknown without a `[tariff]`.
    balance: Relative errors of the sums, which are computed, not predicted.
    cautions: Doubts and dangers in words, the most pressing first.
    assumed: What was taken for granted for trays in words, your own defaults first; not with a sheet.
    limits: How near the load is to the machine's limits, in that run; not in a rig.
    range: What the samples say; only where some were made.
    """

    _keys = ('time_h', 'trays', 'energy_kwh', 'water_kg', 'cost', 'balance', 'cautions', 'assumed', 'limits', 'range')
    _lists = ('trays', 'cautions', 'assumed')
    _parts = {'time_h': PlanTime, 'trays': PlanTrays, 'energy_kwh': PlanEnergy, 'water_kg': PlanWater, 'cost': PlanCost, 'balance': PlanBalance, 'limits': PlanLimits, 'range': PlanRange}
    time_h: PlanTime
    """How long it takes; unknown where the run was stopped before its end rule was met. In h."""
    trays: list[PlanTrays]
    """Trays from the bottom to the top."""
    energy_kwh: Optional[PlanEnergy]
    """Electric energy; unknown in a rig. In kWh."""
    water_kg: PlanWater
    """Water of the whole load. In kg."""
    cost: PlanCost
    """Cost of the electricity; unknown without a `[tariff]`."""
    balance: PlanBalance
    """Relative errors of the sums, which are computed, not predicted."""
    cautions: list[str]
    """Doubts and dangers in words, the most pressing first."""
    assumed: list[str]
    """What was taken for granted for trays in words, your own defaults first; not with a sheet."""
    limits: Optional[PlanLimits]
    """How near the load is to the machine's limits, in that run; not in a rig."""
    range: Optional[PlanRange]
    """What the samples say; only where some were made."""


class ComparisonLoadsTime(Group):
    """Time; `null`: never. In h.

    food_ready: Until the food can be taken out. In h.
    """

    _keys = ('food_ready',)
    _parts = {'food_ready': Drawn}
    food_ready: Drawn
    """Until the food can be taken out. In h."""


class ComparisonLoadsEnergy(Group):
    """Electric energy. In kWh.

    total: Whole run. In kWh.
    """

    _keys = ('total',)
    _parts = {'total': Drawn}
    total: Drawn
    """Whole run. In kWh."""


class ComparisonLoadsCost(Drawn):
    """Cost of the electricity; `null` without a price.

    currency: Of what, as the sheet says.
    """

    _keys = ('low', 'median', 'high', 'currency')
    currency: Optional[str]
    """Of what, as the sheet says."""


class ComparisonLoadsLastTray(Group):
    """The tray that is dry last in most samples.

    name: Its name.
    food: Food on it.
    chance: Share of the samples in which it is the last.
    """

    _keys = ('name', 'food', 'chance')
    name: str
    """Its name."""
    food: str
    """Food on it."""
    chance: Optional[float]
    """Share of the samples in which it is the last."""


class ComparisonLoadsChance(Group):
    """Chance of each trouble, 0 to 1.

    not_frozen: A tray is not frozen when the pump starts.
    melts: A tray melts while it dries.
    collapses: A tray without cell walls collapses.
    ice_left: Ice is left at the end.
    not_dry: A tray is not dry at the end.
    no_room_for_ice: More ice than the condenser has room for.
    too_high: Food stands too near the shelf above.
    """

    _keys = ('not_frozen', 'melts', 'collapses', 'ice_left', 'not_dry', 'no_room_for_ice', 'too_high')
    not_frozen: Optional[float]
    """A tray is not frozen when the pump starts."""
    melts: Optional[float]
    """A tray melts while it dries."""
    collapses: Optional[float]
    """A tray without cell walls collapses."""
    ice_left: Optional[float]
    """Ice is left at the end."""
    not_dry: Optional[float]
    """A tray is not dry at the end."""
    no_room_for_ice: Optional[float]
    """More ice than the condenser has room for."""
    too_high: Optional[float]
    """Food stands too near the shelf above."""


class ComparisonLoadsAgainstFirstFoodReady(Group):
    """Time until the food is ready.

    ratio: Ratio of a quantity, this load over the other: 10, 50 and 90 % over the samples.
    verdict: The conclusion from it.
    """

    _keys = ('ratio', 'verdict')
    _parts = {'ratio': Drawn}
    ratio: Drawn
    """Ratio of a quantity, this load over the other: 10, 50 and 90 % over the samples."""
    verdict: Literal['higher', 'lower', 'no difference', "can't tell"]
    """The conclusion from it."""


class ComparisonLoadsAgainstFirstDriedKgPer(Group):
    """Dried food per electricity. In per kWh.

    ratio: Ratio of a quantity, this load over the other: 10, 50 and 90 % over the samples. In per kWh.
    verdict: The conclusion from it. In per kWh.
    """

    _keys = ('ratio', 'verdict')
    _parts = {'ratio': Drawn}
    ratio: Drawn
    """Ratio of a quantity, this load over the other: 10, 50 and 90 % over the samples. In per kWh."""
    verdict: Literal['higher', 'lower', 'no difference', "can't tell"]
    """The conclusion from it. In per kWh."""


class ComparisonLoadsAgainstFirst(Group):
    """Ratios to the first load over the samples, and what they say.

    food_ready: Time until the food is ready.
    energy: Electricity.
    dried_kg_per_day: Dried food per time.
    dried_kg_per_kwh: Dried food per electricity. In per kWh.
    """

    _keys = ('food_ready', 'energy', 'dried_kg_per_day', 'dried_kg_per_kwh')
    _parts = {'food_ready': ComparisonLoadsAgainstFirstFoodReady, 'energy': ComparisonLoadsAgainstFirstFoodReady, 'dried_kg_per_day': ComparisonLoadsAgainstFirstFoodReady, 'dried_kg_per_kwh': ComparisonLoadsAgainstFirstDriedKgPer}
    food_ready: ComparisonLoadsAgainstFirstFoodReady
    """Time until the food is ready."""
    energy: ComparisonLoadsAgainstFirstFoodReady
    """Electricity."""
    dried_kg_per_day: ComparisonLoadsAgainstFirstFoodReady
    """Dried food per time."""
    dried_kg_per_kwh: ComparisonLoadsAgainstFirstDriedKgPer
    """Dried food per electricity. In per kWh."""


class ComparisonLoads(Group):
    """The loads, the first of which the others are compared with.

    name: What it is called in the tables.
    file: File it was read from.
    values: Keys of the sheet that were changed, with their values.
    time_h: Time; `null`: never. In h.
    energy_kwh: Electric energy. In kWh.
    cost: Cost of the electricity; `null` without a price.
    last_tray: The tray that is dry last in most samples.
    dried_kg: Dried food. In kg.
    dried_kg_per_day: Dried food per day of the whole run.
    dried_kg_per_kwh: Dried food per electricity. In per kWh.
    chance: Chance of each trouble, 0 to 1.
    grave_chance: Chance of any grave trouble, 0 to 1; up to 0.1 counts as safe.
    refused: Samples left out because they could not be computed.
    against_first: Ratios to the first load over the samples, and what they say.
    """

    _keys = ('name', 'file', 'values', 'time_h', 'energy_kwh', 'cost', 'last_tray', 'dried_kg', 'dried_kg_per_day', 'dried_kg_per_kwh', 'chance', 'grave_chance', 'refused', 'against_first')
    _parts = {'time_h': ComparisonLoadsTime, 'energy_kwh': ComparisonLoadsEnergy, 'cost': ComparisonLoadsCost, 'last_tray': ComparisonLoadsLastTray, 'dried_kg': Drawn, 'dried_kg_per_day': Drawn, 'dried_kg_per_kwh': Drawn, 'chance': ComparisonLoadsChance, 'against_first': ComparisonLoadsAgainstFirst}
    name: str
    """What it is called in the tables."""
    file: str
    """File it was read from."""
    values_: dict[str, str]
    """Keys of the sheet that were changed, with their values."""
    time_h: Optional[ComparisonLoadsTime]
    """Time; `null`: never. In h."""
    energy_kwh: Optional[ComparisonLoadsEnergy]
    """Electric energy. In kWh."""
    cost: Optional[ComparisonLoadsCost]
    """Cost of the electricity; `null` without a price."""
    last_tray: Optional[ComparisonLoadsLastTray]
    """The tray that is dry last in most samples."""
    dried_kg: Drawn
    """Dried food. In kg."""
    dried_kg_per_day: Drawn
    """Dried food per day of the whole run."""
    dried_kg_per_kwh: Drawn
    """Dried food per electricity. In per kWh."""
    chance: ComparisonLoadsChance
    """Chance of each trouble, 0 to 1."""
    grave_chance: Optional[float]
    """Chance of any grave trouble, 0 to 1; up to 0.1 counts as safe."""
    refused: int
    """Samples left out because they could not be computed."""
    against_first: ComparisonLoadsAgainstFirst
    """Ratios to the first load over the samples, and what they say."""


class ComparisonKeepingTogether(Group):
    """All of it together.

    fat_per_dry: Fat over dry matter.
    eat_first_months: Months after which it is to be eaten first, sealed without oxygen.
    """

    _keys = ('fat_per_dry', 'eat_first_months')
    fat_per_dry: Optional[float]
    """Fat over dry matter."""
    eat_first_months: Optional[float]
    """Months after which it is to be eaten first, sealed without oxygen."""


class ComparisonKeeping(Group):
    """Trays whose embedded pieces a load takes apart: what that gains in keeping.

    tray: Its name.
    pieces: The pieces.
    together: All of it together.
    rest_apart: The food without the pieces.
    pieces_apart: The pieces alone.
    """

    _keys = ('tray', 'pieces', 'together', 'rest_apart', 'pieces_apart')
    _parts = {'together': ComparisonKeepingTogether, 'rest_apart': ComparisonKeepingTogether, 'pieces_apart': ComparisonKeepingTogether}
    tray: str
    """Its name."""
    pieces: str
    """The pieces."""
    together: ComparisonKeepingTogether
    """All of it together."""
    rest_apart: ComparisonKeepingTogether
    """The food without the pieces."""
    pieces_apart: ComparisonKeepingTogether
    """The pieces alone."""


class ComparisonBestLeastTimePerAgainstNext(Group):
    """Against the next best. In kg.

    ratio: Ratio of a quantity, this load over the other: 10, 50 and 90 % over the samples. In kg.
    verdict: The conclusion from it. In kg.
    """

    _keys = ('ratio', 'verdict')
    _parts = {'ratio': Drawn}
    ratio: Drawn
    """Ratio of a quantity, this load over the other: 10, 50 and 90 % over the samples. In kg."""
    verdict: Literal['higher', 'lower', 'no difference', "can't tell"]
    """The conclusion from it. In kg."""


class ComparisonBestLeastTimePer(Group):
    """Most dried food per time. In kg.

    load: Its name. In kg.
    next: Name of the next best. In kg.
    against_next: Against the next best. In kg.
    """

    _keys = ('load', 'next', 'against_next')
    _parts = {'against_next': ComparisonBestLeastTimePerAgainstNext}
    load: str
    """Its name. In kg."""
    next: Optional[str]
    """Name of the next best. In kg."""
    against_next: Optional[ComparisonBestLeastTimePerAgainstNext]
    """Against the next best. In kg."""


class ComparisonBestFullestSafe(Group):
    """Most dried food in one batch that is still safe.

    load: Its name.
    next: Name of the next best.
    against_next: Against the next best.
    """

    _keys = ('load', 'next', 'against_next')
    _parts = {'against_next': ComparisonLoadsAgainstFirstFoodReady}
    load: str
    """Its name."""
    next: Optional[str]
    """Name of the next best."""
    against_next: Optional[ComparisonLoadsAgainstFirstFoodReady]
    """Against the next best."""


class ComparisonBest(Group):
    """The best of them.

    some_safe: Whether any load is safe; if not, the best are so without regard to that.
    least_time_per_kg: Most dried food per time. In kg.
    least_cost_per_kg: Most dried food per cost, or per electricity without a price. In kg.
    fullest_safe: Most dried food in one batch that is still safe.
    """

    _keys = ('some_safe', 'least_time_per_kg', 'least_cost_per_kg', 'fullest_safe')
    _parts = {'least_time_per_kg': ComparisonBestLeastTimePer, 'least_cost_per_kg': ComparisonBestLeastTimePer, 'fullest_safe': ComparisonBestFullestSafe}
    some_safe: bool
    """Whether any load is safe; if not, the best are so without regard to that."""
    least_time_per_kg: Optional[ComparisonBestLeastTimePer]
    """Most dried food per time. In kg."""
    least_cost_per_kg: Optional[ComparisonBestLeastTimePer]
    """Most dried food per cost, or per electricity without a price. In kg."""
    fullest_safe: Optional[ComparisonBestFullestSafe]
    """Most dried food in one batch that is still safe."""


class ComparisonAnswer(Group):
    """The answer of ``icefront compare``.

    draws: Samples of each load.
    seed: Their seed.
    independent: Whether each load has samples of its own.
    notes: What the variations mean.
    loads: The loads, the first of which the others are compared with.
    keeping: Trays whose embedded pieces a load takes apart: what that gains in keeping.
    best: The best of them.
    """

    _keys = ('draws', 'seed', 'independent', 'notes', 'loads', 'keeping', 'best')
    _lists = ('notes', 'loads', 'keeping')
    _parts = {'loads': ComparisonLoads, 'keeping': ComparisonKeeping, 'best': ComparisonBest}
    draws: int
    """Samples of each load."""
    seed: int
    """Their seed."""
    independent: bool
    """Whether each load has samples of its own."""
    notes: list[str]
    """What the variations mean."""
    loads: list[ComparisonLoads]
    """The loads, the first of which the others are compared with."""
    keeping: list[ComparisonKeeping]
    """Trays whose embedded pieces a load takes apart: what that gains in keeping."""
    best: ComparisonBest
    """The best of them."""


class ExplanationBindsFreezing(Group):
    """Food freezes in the cabinet; shelves and condenser cool down.

    what: What.
    shorter_share: Share of the stage that is saved if it were twice as good.
    """

    _keys = ('what', 'shorter_share')
    what: Literal['contact', 'tray_lining', 'frozen_layer', 'dried_layer_heat', 'dried_layer_vapour', 'chamber_to_condenser', 'condenser_ice', 'refrigerant_to_wall', 'compressor', 'heater_power', 'pressure_limit', 'desorption', 'pump']
    """What."""
    shorter_share: Optional[float]
    """Share of the stage that is saved if it were twice as good."""


class ExplanationBinds(Group):
    """What limits each stage, the most first.

    freezing: Food freezes in the cabinet; shelves and condenser cool down.
    evacuation: The pump removes the air.
    primary_drying: Ice still sublimes somewhere in the load.
    secondary_drying: The ice is gone; sorbed water leaves.
    defrost: The ice on the condenser is melted off.
    """

    _keys = ('freezing', 'evacuation', 'primary_drying', 'secondary_drying', 'defrost')
    _lists = ('freezing', 'evacuation', 'primary_drying', 'secondary_drying', 'defrost')
    _parts = {'freezing': ExplanationBindsFreezing, 'evacuation': ExplanationBindsFreezing, 'primary_drying': ExplanationBindsFreezing, 'secondary_drying': ExplanationBindsFreezing, 'defrost': ExplanationBindsFreezing}
    freezing: list[ExplanationBindsFreezing]
    """Food freezes in the cabinet; shelves and condenser cool down."""
    evacuation: list[ExplanationBindsFreezing]
    """The pump removes the air."""
    primary_drying: list[ExplanationBindsFreezing]
    """Ice still sublimes somewhere in the load."""
    secondary_drying: list[ExplanationBindsFreezing]
    """The ice is gone; sorbed water leaves."""
    defrost: list[ExplanationBindsFreezing]
    """The ice on the condenser is melted off."""


class ExplanationResistanceShare(Group):
    """Shares of the temperature between shelf and refrigerant, mean over primary drying.

    contact: Shelf to tray.
    tray_lining: Lining, and the gap under a block of food that was loaded frozen.
    frozen_layer: Frozen part of a layer.
    space_above: From the shelf above to the food.
    dried_layer_heat: Dried food, for the heat to the front.
    dried_layer_vapour: Dried food, for the vapour from the front.
    chamber_to_condenser: Chamber to condenser.
    condenser_ice: Ice on the condenser.
    refrigerant_to_wall: Condenser metal to refrigerant.
    """

    _keys = ('contact', 'tray_lining', 'frozen_layer', 'space_above', 'dried_layer_heat', 'dried_layer_vapour', 'chamber_to_condenser', 'condenser_ice', 'refrigerant_to_wall')
    contact: Optional[float]
    """Shelf to tray."""
    tray_lining: Optional[float]
    """Lining, and the gap under a block of food that was loaded frozen."""
    frozen_layer: Optional[float]
    """Frozen part of a layer."""
    space_above: Optional[float]
    """From the shelf above to the food."""
    dried_layer_heat: Optional[float]
    """Dried food, for the heat to the front."""
    dried_layer_vapour: Optional[float]
    """Dried food, for the vapour from the front."""
    chamber_to_condenser: Optional[float]
    """Chamber to condenser."""
    condenser_ice: Optional[float]
    """Ice on the condenser."""
    refrigerant_to_wall: Optional[float]
    """Condenser metal to refrigerant."""


class ExplanationTwiceAsGood(Group):
    """What would be gained if one thing were twice as good, the most first.

    what: What would be twice as good.
    ready_sooner_h: Food sooner ready by; below 0: later. `null`: only then it gets dry. In h.
    ready_sooner_last_h: The same once everything else is twice as good. In h.
    """

    _keys = ('what', 'ready_sooner_h', 'ready_sooner_last_h')
    what: Literal['contact', 'tray_lining', 'frozen_layer', 'dried_layer_heat', 'dried_layer_vapour', 'chamber_to_condenser', 'condenser_ice', 'refrigerant_to_wall', 'compressor', 'heater_power', 'pressure_limit', 'desorption', 'pump']
    """What would be twice as good."""
    ready_sooner_h: Optional[float]
    """Food sooner ready by; below 0: later. `null`: only then it gets dry. In h."""
    ready_sooner_last_h: Optional[float]
    """The same once everything else is twice as good. In h."""


class ExplanationLargestResistance(Group):
    """The largest resistance taken away.

    what: Which.
    share: Its share of the temperature between shelf and refrigerant.
    ready_sooner_h: Food sooner ready with a tenth of it; below 0: later. In h.
    held_back_share: Share of primary drying with heaters held back by pressure, as it is.
    held_back_without_share: The same with a tenth of the resistance.
    then: What would save most then.
    then_ready_sooner_h: Food sooner ready if that were twice as good too. In h.
    """

    _keys = ('what', 'share', 'ready_sooner_h', 'held_back_share', 'held_back_without_share', 'then', 'then_ready_sooner_h')
    what: Literal['contact', 'tray_lining', 'frozen_layer', 'space_above', 'dried_layer_heat', 'dried_layer_vapour', 'chamber_to_condenser', 'condenser_ice', 'refrigerant_to_wall']
    """Which."""
    share: Optional[float]
    """Its share of the temperature between shelf and refrigerant."""
    ready_sooner_h: Optional[float]
    """Food sooner ready with a tenth of it; below 0: later. In h."""
    held_back_share: Optional[float]
    """Share of primary drying with heaters held back by pressure, as it is."""
    held_back_without_share: Optional[float]
    """The same with a tenth of the resistance."""
    then: Optional[Literal['contact', 'tray_lining', 'frozen_layer', 'dried_layer_heat', 'dried_layer_vapour', 'chamber_to_condenser', 'condenser_ice', 'refrigerant_to_wall', 'compressor', 'heater_power', 'pressure_limit', 'desorption', 'pump']]
    """What would save most then."""
    then_ready_sooner_h: Optional[float]
    """Food sooner ready if that were twice as good too. In h."""


class ExplanationUsableCells(Group):
    """Drying alone on a shelf of this temperature at this pressure.

    shelf_c: Shelf. In degC.
    pressure_pa: Vapour and air in the chamber, Pa. In Pa.
    dry_h: Until the wettest spot is dry, without freezing and evacuation; `null`: never. In h.
    front_mean_c: Ice front, mean over ice and time. In degC.
    grade: How it comes out.
    """

    _keys = ('shelf_c', 'pressure_pa', 'dry_h', 'front_mean_c', 'grade')
    shelf_c: Optional[float]
    """Shelf. In degC."""
    pressure_pa: Optional[float]
    """Vapour and air in the chamber, Pa. In Pa."""
    dry_h: Optional[float]
    """Until the wettest spot is dry, without freezing and evacuation; `null`: never. In h."""
    front_mean_c: Optional[float]
    """Ice front, mean over ice and time. In degC."""
    grade: Literal['keeps', 'softens', 'shrinks', 'melts', 'never_dry']
    """How it comes out."""


class ExplanationUsableThisLoad(Group):
    """The load's own run.

    shelf_c: What the shelves are heated to, at most. In degC.
    pressure_pa: Mean of the chamber while ice leaves. In Pa.
    """

    _keys = ('shelf_c', 'pressure_pa')
    shelf_c: Optional[float]
    """What the shelves are heated to, at most. In degC."""
    pressure_pa: Optional[float]
    """Mean of the chamber while ice leaves. In Pa."""


class ExplanationUsable(Group):
    """At which shelf temperatures and pressures the food of this tray dries, and how well.

    cells: Drying alone on a shelf of this temperature at this pressure.
    gentlest: Of those dry within 48 h the one with the coldest ice front.
    fastest: The fastest that comes out as well.
    this_load: The load's own run.
    """

    _keys = ('cells', 'gentlest', 'fastest', 'this_load')
    _lists = ('cells',)
    _parts = {'cells': ExplanationUsableCells, 'gentlest': ExplanationUsableCells, 'fastest': ExplanationUsableCells, 'this_load': ExplanationUsableThisLoad}
    cells: list[ExplanationUsableCells]
    """Drying alone on a shelf of this temperature at this pressure."""
    gentlest: Optional[ExplanationUsableCells]
    """Of those dry within 48 h the one with the coldest ice front."""
    fastest: Optional[ExplanationUsableCells]
    """The fastest that comes out as well."""
    this_load: ExplanationUsableThisLoad
    """The load's own run."""


class ExplanationParts(Group):
    """Only with `embedded` or `uneven_contact`: its parts side by side.

    what: Which.
    floor_share: Share of the tray's floor, 0 to 1.
    contact_factor: Factor on the heat from below.
    ice_gone_at_h: Last ice gone, from the start; `null`: never. In h.
    dry_at_h: Wettest spot under the target, from the start; `null`: never. In h.
    resistance_share: As for the tray.
    """

    _keys = ('what', 'floor_share', 'contact_factor', 'ice_gone_at_h', 'dry_at_h', 'resistance_share')
    _parts = {'resistance_share': ExplanationResistanceShare}
    what: str
    """Which."""
    floor_share: Optional[float]
    """Share of the tray's floor, 0 to 1."""
    contact_factor: Optional[float]
    """Factor on the heat from below."""
    ice_gone_at_h: Optional[float]
    """Last ice gone, from the start; `null`: never. In h."""
    dry_at_h: Optional[float]
    """Wettest spot under the target, from the start; `null`: never. In h."""
    resistance_share: ExplanationResistanceShare
    """As for the tray."""


class ExplanationThisTrayKept(Group):
    """Whether weight and depth of the food stay as they are.

    weight: The weight.
    depth: The depth: how high the food stands.
    """

    _keys = ('weight', 'depth')
    weight: bool
    """The weight."""
    depth: bool
    """The depth: how high the food stands."""


class ExplanationThisTray(Group):
    """The load with this tray as it is, thin, thick, lean and fatty.

    what: How.
    kept: Whether weight and depth of the food stay as they are.
    food_kg: Food on it. In kg.
    water_kg: Water it gives off. In kg.
    drying_h_per_kg_water: Hours under vacuum until it is dry, per kg of that water; `null`: never.
    ice_gone_at_h: Last ice gone, from the start; `null`: never. In h.
    dry_at_h: Wettest spot under the target, from the start; `null`: never. In h.
    resistance_share: As for the tray.
    """

    _keys = ('what', 'kept', 'food_kg', 'water_kg', 'drying_h_per_kg_water', 'ice_gone_at_h', 'dry_at_h', 'resistance_share')
    _parts = {'kept': ExplanationThisTrayKept, 'resistance_share': ExplanationResistanceShare}
    what: str
    """How."""
    kept: ExplanationThisTrayKept
    """Whether weight and depth of the food stay as they are."""
    food_kg: Optional[float]
    """Food on it. In kg."""
    water_kg: Optional[float]
    """Water it gives off. In kg."""
    drying_h_per_kg_water: Optional[float]
    """Hours under vacuum until it is dry, per kg of that water; `null`: never."""
    ice_gone_at_h: Optional[float]
    """Last ice gone, from the start; `null`: never. In h."""
    dry_at_h: Optional[float]
    """Wettest spot under the target, from the start; `null`: never. In h."""
    resistance_share: ExplanationResistanceShare
    """As for the tray."""


class ExplanationAnswer(Group):
    """The answer of ``icefront explain``.

    tray: The tray that is looked at.
    food: Food on it.
    food_ready_h: Until the food can be taken out, in the run that stands for all samples: that of `plan`. In h.
    binds: What limits each stage, the most first.
    resistance_share: Shares of the temperature between shelf and refrigerant, mean over primary drying.
    heat_from_above_share: Share of its heat that comes from above.
    twice_as_good: What would be gained if one thing were twice as good, the most first.
    all_ready_sooner_h: Food sooner ready if all of it were twice as good at once. In h.
    largest_resistance: The largest resistance taken away.
    usable: At which shelf temperatures and pressures the food of this tray dries, and how well.
    parts: Only with `embedded` or `uneven_contact`: its parts side by side.
    this_tray: The load with this tray as it is, thin, thick, lean and fatty.
    """

    _keys = ('tray', 'food', 'food_ready_h', 'binds', 'resistance_share', 'heat_from_above_share', 'twice_as_good', 'all_ready_sooner_h', 'largest_resistance', 'usable', 'parts', 'this_tray')
    _lists = ('twice_as_good', 'parts', 'this_tray')
    _parts = {'binds': ExplanationBinds, 'resistance_share': ExplanationResistanceShare, 'twice_as_good': ExplanationTwiceAsGood, 'largest_resistance': ExplanationLargestResistance, 'usable': ExplanationUsable, 'parts': ExplanationParts, 'this_tray': ExplanationThisTray}
    tray: str
    """The tray that is looked at."""
    food: str
    """Food on it."""
    food_ready_h: Optional[float]
    """Until the food can be taken out, in the run that stands for all samples: that of `plan`. In h."""
    binds: ExplanationBinds
    """What limits each stage, the most first."""
    resistance_share: ExplanationResistanceShare
    """Shares of the temperature between shelf and refrigerant, mean over primary drying."""
    heat_from_above_share: Optional[float]
    """Share of its heat that comes from above."""
    twice_as_good: list[ExplanationTwiceAsGood]
    """What would be gained if one thing were twice as good, the most first."""
    all_ready_sooner_h: Optional[float]
    """Food sooner ready if all of it were twice as good at once. In h."""
    largest_resistance: Optional[ExplanationLargestResistance]
    """The largest resistance taken away."""
    usable: ExplanationUsable
    """At which shelf temperatures and pressures the food of this tray dries, and how well."""
    parts: list[ExplanationParts]
    """Only with `embedded` or `uneven_contact`: its parts side by side."""
    this_tray: list[ExplanationThisTray]
    """The load with this tray as it is, thin, thick, lean and fatty."""


class PrefreezingAdvice(Group):
    """The way to take.

    way: `outdoors`, `freezer` or `machine`.
    reason: Why.
    words: Both in words.
    """

    _keys = ('way', 'reason', 'words')
    way: Literal['outdoors', 'freezer', 'machine']
    """`outdoors`, `freezer` or `machine`."""
    reason: Optional[Literal['saves', 'saves-too-little', 'others-not-frozen', 'others-cool-too-slowly', 'none-frozen', 'cool-first']]
    """Why."""
    words: str
    """Both in words."""


class PrefreezingNight(Group):
    """The night outdoors.

    set_out: Time of day at which the trays go out.
    until: Time of day at which they come in.
    length_h: Between the two. In h.
    date: Date of the weather; `null` for an even night.
    covered: Whether the trays have lids.
    air_mean_c: Mean air temperature. In degC.
    air_min_c: Lowest air temperature. In degC.
    wind_mean_m_per_s: Mean wind at the trays. In m/s.
    sky_mean_c: Mean radiant temperature of the sky. In degC.
    sky_from: What the sky is taken from: `infrared`, `dew-point-and-cloud` or `air`.
    """

    _keys = ('set_out', 'until', 'length_h', 'date', 'covered', 'air_mean_c', 'air_min_c', 'wind_mean_m_per_s', 'sky_mean_c', 'sky_from')
    set_out: str
    """Time of day at which the trays go out."""
    until: str
    """Time of day at which they come in."""
    length_h: Optional[float]
    """Between the two. In h."""
    date: Optional[str]
    """Date of the weather; `null` for an even night."""
    covered: bool
    """Whether the trays have lids."""
    air_mean_c: Optional[float]
    """Mean air temperature. In degC."""
    air_min_c: Optional[float]
    """Lowest air temperature. In degC."""
    wind_mean_m_per_s: Optional[float]
    """Mean wind at the trays. In m/s."""
    sky_mean_c: Optional[float]
    """Mean radiant temperature of the sky. In degC."""
    sky_from: str
    """What the sky is taken from: `infrared`, `dew-point-and-cloud` or `air`."""


class PrefreezingWaysOutdoorsTraysCooling(Group):
    """How fast it cools; `null` where food safety sets no limit.

    to_21_c_h: Until 21 degC. In h.
    to_5_c_h: Until 5 degC. In h.
    limit_21_c_h: Longest time allowed to 21 degC. In h.
    limit_5_c_h: Longest time allowed to 5 degC. In h.
    within_limits: Whether both are kept.
    """

    _keys = ('to_21_c_h', 'to_5_c_h', 'limit_21_c_h', 'limit_5_c_h', 'within_limits')
    _parts = {'to_21_c_h': Predicted, 'to_5_c_h': Predicted}
    to_21_c_h: Predicted
    """Until 21 degC. In h."""
    to_5_c_h: Predicted
    """Until 5 degC. In h."""
    limit_21_c_h: Optional[float]
    """Longest time allowed to 21 degC. In h."""
    limit_5_c_h: Optional[float]
    """Longest time allowed to 5 degC. In h."""
    within_limits: bool
    """Whether both are kept."""


class PrefreezingWaysOutdoorsTrays(Group):
    """Trays while they cool, from the bottom.

    tray: Name, as in the sheet.
    food: Food, as in the sheet.
    frozen_at_h: Frozen through after this time; `null`: not in time. In h.
    core_at_end_c: Core at the end of it. In degC.
    frozen_in_time: Whether it is frozen through then.
    cooling: How fast it cools; `null` where food safety sets no limit.
    """

    _keys = ('tray', 'food', 'frozen_at_h', 'core_at_end_c', 'frozen_in_time', 'cooling')
    _parts = {'frozen_at_h': Predicted, 'core_at_end_c': Predicted, 'cooling': PrefreezingWaysOutdoorsTraysCooling}
    tray: str
    """Name, as in the sheet."""
    food: str
    """Food, as in the sheet."""
    frozen_at_h: Optional[Predicted]
    """Frozen through after this time; `null`: not in time. In h."""
    core_at_end_c: Predicted
    """Core at the end of it. In degC."""
    frozen_in_time: bool
    """Whether it is frozen through then."""
    cooling: Optional[PrefreezingWaysOutdoorsTraysCooling]
    """How fast it cools; `null` where food safety sets no limit."""


class PrefreezingWaysOutdoors(Group):
    """Outdoors in this night.

    trays: Trays while they cool, from the bottom.
    all_frozen_in_time: Whether all are frozen through in time.
    cooling_within_limits: Whether none cools more slowly than the published limits; `null` where no limit applies.
    machine_h: From the start of the machine until the food can be taken out. In h.
    whole_run_h: From the start of the machine to the end of the defrost. In h.
    food_ready_after_set_out_h: From setting out until the food can be taken out. In h.
    energy_kwh: Electricity of the dryer. In kWh.
    saved_kwh: Less than with freezing in the machine. In kWh.
    cost: Cost of the dryer's electricity; `null` without a price.
    freezer_own_kwh: Electricity of the freezer; only there. In kWh.
    """

    _keys = ('trays', 'all_frozen_in_time', 'cooling_within_limits', 'machine_h', 'whole_run_h', 'food_ready_after_set_out_h', 'energy_kwh', 'saved_kwh', 'cost', 'freezer_own_kwh')
    _lists = ('trays',)
    _parts = {'trays': PrefreezingWaysOutdoorsTrays, 'machine_h': Predicted, 'whole_run_h': Predicted, 'food_ready_after_set_out_h': Predicted, 'energy_kwh': Predicted, 'saved_kwh': Predicted, 'cost': Predicted, 'freezer_own_kwh': Predicted}
    trays: list[PrefreezingWaysOutdoorsTrays]
    """Trays while they cool, from the bottom."""
    all_frozen_in_time: bool
    """Whether all are frozen through in time."""
    cooling_within_limits: Optional[bool]
    """Whether none cools more slowly than the published limits; `null` where no limit applies."""
    machine_h: Predicted
    """From the start of the machine until the food can be taken out. In h."""
    whole_run_h: Predicted
    """From the start of the machine to the end of the defrost. In h."""
    food_ready_after_set_out_h: Predicted
    """From setting out until the food can be taken out. In h."""
    energy_kwh: Optional[Predicted]
    """Electricity of the dryer. In kWh."""
    saved_kwh: Predicted
    """Less than with freezing in the machine. In kWh."""
    cost: Optional[Predicted]
    """Cost of the dryer's electricity; `null` without a price."""
    freezer_own_kwh: Predicted
    """Electricity of the freezer; only there. In kWh."""


class PrefreezingWays(Group):
    """The three ways, followed to the end of the batch with typical numbers.

    outdoors: Outdoors in this night.
    freezer: In a chest freezer for as long.
    machine: In the machine, at once.
    """

    _keys = ('outdoors', 'freezer', 'machine')
    _parts = {'outdoors': PrefreezingWaysOutdoors, 'freezer': PrefreezingWaysOutdoors, 'machine': PrefreezingWaysOutdoors}
    outdoors: PrefreezingWaysOutdoors
    """Outdoors in this night."""
    freezer: PrefreezingWaysOutdoors
    """In a chest freezer for as long."""
    machine: PrefreezingWaysOutdoors
    """In the machine, at once."""


class PrefreezingAnswer(Group):
    """The answer of ``icefront prefreeze``.

    advice: The way to take.
    night: The night outdoors.
    core_c: Core temperature that counts as frozen through. In degC.
    freezer_c: Air of the freezer. In degC.
    ways: The three ways, followed to the end of the batch with typical numbers.
    cautions: Doubts and dangers in words.
    """

    _keys = ('advice', 'night', 'core_c', 'freezer_c', 'ways', 'cautions')
    _lists = ('cautions',)
    _parts = {'advice': PrefreezingAdvice, 'night': PrefreezingNight, 'ways': PrefreezingWays}
    advice: PrefreezingAdvice
    """The way to take."""
    night: PrefreezingNight
    """The night outdoors."""
    core_c: Optional[float]
    """Core temperature that counts as frozen through. In degC."""
    freezer_c: Optional[float]
    """Air of the freezer. In degC."""
    ways: PrefreezingWays
    """The three ways, followed to the end of the batch with typical numbers."""
    cautions: list[str]
    """Doubts and dangers in words."""


class UpdateSetAside(Group):
    """Readings that cannot be right and were not used.

    line: Its line in the file.
    reason: Why.
    """

    _keys = ('line', 'reason')
    line: int
    """Its line in the file."""
    reason: Optional[str]
    """Why."""


class UpdateDoubtful(Group):
    """Readings that do not go with the others and were left out.

    line: Its line in the file.
    sentence: What is odd about it, in a sentence.
    chance: Chance of a reading as far off among so many, 0 to 1.
    """

    _keys = ('line', 'sentence', 'chance')
    line: int
    """Its line in the file."""
    sentence: str
    """What is odd about it, in a sentence."""
    chance: Optional[float]
    """Chance of a reading as far off among so many, 0 to 1."""


class UpdateFit(Group):
    """Whether the readings fit what was entered; `null` without readings.

    fits: Whether they do.
    chance: Chance of readings as far off if all is as entered, 0 to 1; below 0.01 they do not fit.
    squared: Squared distance of the readings from the prediction, in standard deviations.
    readings: Readings compared.
    likely_causes: What may be the matter, the likeliest first.
    """

    _keys = ('fits', 'chance', 'squared', 'readings', 'likely_causes')
    _lists = ('likely_causes',)
    fits: bool
    """Whether they do."""
    chance: Optional[float]
    """Chance of readings as far off if all is as entered, 0 to 1; below 0.01 they do not fit."""
    squared: Optional[float]
    """Squared distance of the readings from the prediction, in standard deviations."""
    readings: int
    """Readings compared."""
    likely_causes: list[str]
    """What may be the matter, the likeliest first."""


class UpdateLastIceGone(Group):
    """Last ice gone, from the start. In h.

    before: By the sheet alone. In h.
    after: With the readings. In h.
    """

    _keys = ('before', 'after')
    _parts = {'before': Drawn, 'after': Drawn}
    before: Drawn
    """By the sheet alone. In h."""
    after: Drawn
    """With the readings. In h."""


class UpdateEnergy(Group):
    """Electricity of the whole run; `null` in a rig. In kWh.

    before: By the sheet alone. In kWh.
    after: With the readings. In kWh.
    """

    _keys = ('before', 'after')
    _parts = {'before': Drawn, 'after': Drawn}
    before: Drawn
    """By the sheet alone. In kWh."""
    after: Drawn
    """With the readings. In kWh."""


class UpdateCost(Group):
    """Its cost; `null` without a price.

    before: By the sheet alone.
    after: With the readings.
    """

    _keys = ('before', 'after')
    _parts = {'before': Drawn, 'after': Drawn}
    before: Drawn
    """By the sheet alone."""
    after: Drawn
    """With the readings."""


class UpdateTrays(Group):
    """Trays from the bottom.

    tray: Name, as in the sheet.
    food: Food, as in the sheet.
    dry_at_h: Wettest spot under the target, from the start. In h.
    """

    _keys = ('tray', 'food', 'dry_at_h')
    _parts = {'dry_at_h': UpdateLastIceGone}
    tray: str
    """Name, as in the sheet."""
    food: str
    """Food, as in the sheet."""
    dry_at_h: UpdateLastIceGone
    """Wettest spot under the target, from the start. In h."""


class UpdateWhy(Group):
    """What the readings say of food and machine, what moved most first.

    what: What, in words.
    rank: Share of such machines, foods or trays in which it is lower, as now believed.
    """

    _keys = ('what', 'rank')
    what: str
    """What, in words."""
    rank: Optional[float]
    """Share of such machines, foods or trays in which it is lower, as now believed."""


class UpdateReadNext(Group):
    """Readings to take next, the best first.

    what: What to read.
    narrows_by: Share of the range of the time until the food is ready that it takes away.
    needs_opening: Whether the dryer must be opened for it.
    """

    _keys = ('what', 'narrows_by', 'needs_opening')
    what: str
    """What to read."""
    narrows_by: Optional[float]
    """Share of the range of the time until the food is ready that it takes away."""
    needs_opening: bool
    """Whether the dryer must be opened for it."""


class UpdateDraws(Group):
    """How the ranges were drawn.

    run: Samples run.
    effective: As many equal samples would say as much.
    effective_at_first: The same in the first round.
    refreshed: Further rounds, drawn where the readings point.
    refused: Samples left out because they could not be computed.
    """

    _keys = ('run', 'effective', 'effective_at_first', 'refreshed', 'refused')
    run: int
    """Samples run."""
    effective: Optional[float]
    """As many equal samples would say as much."""
    effective_at_first: Optional[float]
    """The same in the first round."""
    refreshed: int
    """Further rounds, drawn where the readings point."""
    refused: int
    """Samples left out because they could not be computed."""


class UpdateAnswer(Group):
    """The answer of ``icefront update``.

    sentence: The answer in a sentence.
    last_reading_h: Time of the last reading, from the start. In h.
    set_aside: Readings that cannot be right and were not used.
    doubtful: Readings that do not go with the others and were left out.
    uncertain: Whether the range was widened because few runs agree with the readings.
    stood_still_h: How long the run stood still (power, door, pump, weighing). In h.
    fit: Whether the readings fit what was entered; `null` without readings.
    last_ice_gone_h: Last ice gone, from the start. In h.
    food_ready_h: Food ready, from the start. In h.
    energy_kwh: Electricity of the whole run; `null` in a rig. In kWh.
    cost: Its cost; `null` without a price.
    currency: Of what, as the sheet says.
    trays: Trays from the bottom.
    why: What the readings say of food and machine, what moved most first.
    read_next: Readings to take next, the best first.
    draws: How the ranges were drawn.
    cautions: Dangers in words.
    """

    _keys = ('sentence', 'last_reading_h', 'set_aside', 'doubtful', 'uncertain', 'stood_still_h', 'fit', 'last_ice_gone_h', 'food_ready_h', 'energy_kwh', 'cost', 'currency', 'trays', 'why', 'read_next', 'draws', 'cautions')
    _lists = ('set_aside', 'doubtful', 'trays', 'why', 'read_next', 'cautions')
    _parts = {'set_aside': UpdateSetAside, 'doubtful': UpdateDoubtful, 'fit': UpdateFit, 'last_ice_gone_h': UpdateLastIceGone, 'food_ready_h': UpdateLastIceGone, 'energy_kwh': UpdateEnergy, 'cost': UpdateCost, 'trays': UpdateTrays, 'why': UpdateWhy, 'read_next': UpdateReadNext, 'draws': UpdateDraws}
    sentence: str
    """The answer in a sentence."""
    last_reading_h: Optional[float]
    """Time of the last reading, from the start. In h."""
    set_aside: list[UpdateSetAside]
    """Readings that cannot be right and were not used."""
    doubtful: list[UpdateDoubtful]
    """Readings that do not go with the others and were left out."""
    uncertain: bool
    """Whether the range was widened because few runs agree with the readings."""
    stood_still_h: Optional[float]
    """How long the run stood still (power, door, pump, weighing). In h."""
    fit: Optional[UpdateFit]
    """Whether the readings fit what was entered; `null` without readings."""
    last_ice_gone_h: UpdateLastIceGone
    """Last ice gone, from the start. In h."""
    food_ready_h: UpdateLastIceGone
    """Food ready, from the start. In h."""
    energy_kwh: Optional[UpdateEnergy]
    """Electricity of the whole run; `null` in a rig. In kWh."""
    cost: Optional[UpdateCost]
    """Its cost; `null` without a price."""
    currency: Optional[str]
    """Of what, as the sheet says."""
    trays: list[UpdateTrays]
    """Trays from the bottom."""
    why: list[UpdateWhy]
    """What the readings say of food and machine, what moved most first."""
    read_next: list[UpdateReadNext]
    """Readings to take next, the best first."""
    draws: UpdateDraws
    """How the ranges were drawn."""
    cautions: list[str]
    """Dangers in words."""


class LessonBatches(Group):
    """The batches of this dryer.

    batch: Its name.
    fits: Whether it fits the others.
    chance: Chance of readings as far off if the other batches are right, 0 to 1.
    weight: How much it counts.
    ended_h: When it ended, as noted. In h.
    as_entered_h: The same with the dryer as entered. In h.
    from_others_h: The same from all other batches. In h.
    """

    _keys = ('batch', 'fits', 'chance', 'weight', 'ended_h', 'as_entered_h', 'from_others_h')
    batch: str
    """Its name."""
    fits: bool
    """Whether it fits the others."""
    chance: Optional[float]
    """Chance of readings as far off if the other batches are right, 0 to 1."""
    weight: Optional[float]
    """How much it counts."""
    ended_h: Optional[float]
    """When it ended, as noted. In h."""
    as_entered_h: Optional[float]
    """The same with the dryer as entered. In h."""
    from_others_h: Optional[float]
    """The same from all other batches. In h."""


class LessonAccuracy(Group):
    """How far off predictions are, by kind of reading; batches that do not fit are left out.

    what: Kind of reading.
    unit: Unit of the two distances.
    readings: Readings compared.
    as_entered: With the dryer as entered.
    from_others: From all other batches.
    """

    _keys = ('what', 'unit', 'readings', 'as_entered', 'from_others')
    what: str
    """Kind of reading."""
    unit: str
    """Unit of the two distances."""
    readings: int
    """Readings compared."""
    as_entered: Optional[float]
    """With the dryer as entered."""
    from_others: Optional[float]
    """From all other batches."""


class LessonLearned(Group):
    """What is now believed of each unknown.

    name: Its name.
    rank: Share of such machines or foods in which it is lower.
    range_left: Share of its range that is left.
    """

    _keys = ('name', 'rank', 'range_left')
    name: str
    """Its name."""
    rank: Optional[float]
    """Share of such machines or foods in which it is lower."""
    range_left: Optional[float]
    """Share of its range that is left."""


class LessonOutcomes(Group):
    """How trays turned out, beside what was predicted.

    batch: Batch.
    tray: Tray from the bottom, from 0.
    food: Its food.
    predicted: What was predicted of its texture; `null`: it keeps its shape.
    turned_out: How it turned out.
    """

    _keys = ('batch', 'tray', 'food', 'predicted', 'turned_out')
    batch: str
    """Batch."""
    tray: int
    """Tray from the bottom, from 0."""
    food: str
    """Its food."""
    predicted: Optional[Literal['softens', 'shrinks', 'collapses', 'melts', 'not-frozen', 'ice-left', 'not-dry', 'fatty']]
    """What was predicted of its texture; `null`: it keeps its shape."""
    turned_out: Optional[Literal['good', 'shrunk', 'sticky', 'damp', 'rancid']]
    """How it turned out."""


class LessonAnswer(Group):
    """The answer of ``icefront learn``.

    dryer: Name of the dryer.
    written_to: The learned dryer file.
    batches: The batches of this dryer.
    accuracy: How far off predictions are, by kind of reading; batches that do not fit are left out.
    learned: What is now believed of each unknown.
    model_error: Error of the model: what a right run may be off at half a tray's water, share of it.
    outcomes: How trays turned out, beside what was predicted.
    other_dryers: Batches of other dryers, not used.
    """

    _keys = ('dryer', 'written_to', 'batches', 'accuracy', 'learned', 'model_error', 'outcomes', 'other_dryers')
    _lists = ('batches', 'accuracy', 'learned', 'outcomes', 'other_dryers')
    _parts = {'batches': LessonBatches, 'accuracy': LessonAccuracy, 'learned': LessonLearned, 'outcomes': LessonOutcomes}
    dryer: str
    """Name of the dryer."""
    written_to: str
    """The learned dryer file."""
    batches: list[LessonBatches]
    """The batches of this dryer."""
    accuracy: list[LessonAccuracy]
    """How far off predictions are, by kind of reading; batches that do not fit are left out."""
    learned: list[LessonLearned]
    """What is now believed of each unknown."""
    model_error: Optional[float]
    """Error of the model: what a right run may be off at half a tray's water, share of it."""
    outcomes: list[LessonOutcomes]
    """How trays turned out, beside what was predicted."""
    other_dryers: list[str]
    """Batches of other dryers, not used."""


class FoodsChoices(Group):
    """Foods that the words fit, the one that is meant first; one of them alone leaves no choice.

    id: Number in the source.
    description: Name in the source: the words that mean this very food.
    """

    _keys = ('id', 'description')
    id: str
    """Number in the source."""
    description: str
    """Name in the source: the words that mean this very food."""


class FoodsWhy(Group):
    """Why the food is taken for this kind of food.

    aspect: What was decided.
    value: How.
    why: Why.
    """

    _keys = ('aspect', 'value', 'why')
    aspect: str
    """What was decided."""
    value: str
    """How."""
    why: str
    """Why."""


class FoodsFoodsComposition(Group):
    """Composition, summing to 1.

    water: Water.
    protein: Protein.
    fat: Fat.
    carbohydrate: Carbohydrate without fibre, sugars included.
    fibre: Dietary fibre.
    ash: Ash, salt included.
    sugars: Sugars, a part of `carbohydrate`.
    salt: Salt (sodium chloride), a part of `ash`.
    """

    _keys = ('water', 'protein', 'fat', 'carbohydrate', 'fibre', 'ash', 'sugars', 'salt')
    water: Optional[float]
    """Water."""
    protein: Optional[float]
    """Protein."""
    fat: Optional[float]
    """Fat."""
    carbohydrate: Optional[float]
    """Carbohydrate without fibre, sugars included."""
    fibre: Optional[float]
    """Dietary fibre."""
    ash: Optional[float]
    """Ash, salt included."""
    sugars: Optional[float]
    """Sugars, a part of `carbohydrate`."""
    salt: Optional[float]
    """Salt (sodium chloride), a part of `ash`."""


class FoodsFoods(Group):
    """What else the words could mean, the best first; the whole table without words.

    id: Number in the source.
    description: Name in the source.
    category: Kind of food, our own label.
    state: Raw, cooked, frozen, canned, dry or ready.
    fit: Whether it suits.
    composition: Composition, summing to 1.
    class: How it dries.
    porosity: Share of air in a piece.
    raw: Whether it is raw meat, fish, egg or flour, which must be cooked before it is eaten.
    allergens: Allergens that it surely contains; one that is missing is not ruled out.
    fat_state: What its fat is like.
    filled: Fractions that were blank in the source and filled from like foods.
    """

    _keys = ('id', 'description', 'category', 'state', 'fit', 'composition', 'class', 'porosity', 'raw', 'allergens', 'fat_state', 'filled')
    _lists = ('allergens', 'filled')
    _parts = {'composition': FoodsFoodsComposition}
    id: str
    """Number in the source."""
    description: str
    """Name in the source."""
    category: str
    """Kind of food, our own label."""
    state: str
    """Raw, cooked, frozen, canned, dry or ready."""
    fit: Optional[Literal['suits', 'with-care', 'poor']]
    """Whether it suits."""
    composition: FoodsFoodsComposition
    """Composition, summing to 1."""
    class_: Literal['cut-fruit', 'skin-berry', 'vegetable', 'lean-meat-or-fish', 'mince-or-stew', 'starchy', 'dairy-or-egg', 'extract', 'syrup-or-juice']
    """How it dries."""
    porosity: Optional[float]
    """Share of air in a piece."""
    raw: bool
    """Whether it is raw meat, fish, egg or flour, which must be cooked before it is eaten."""
    allergens: list[Literal['gluten', 'crustacean', 'egg', 'fish', 'peanut', 'soy', 'milk', 'tree-nut', 'celery', 'mustard', 'sesame', 'lupin', 'mollusc']]
    """Allergens that it surely contains; one that is missing is not ruled out."""
    fat_state: Literal['none', 'liquid', 'soft', 'solid']
    """What its fat is like."""
    filled: list[str]
    """Fractions that were blank in the source and filled from like foods."""


class FoodsAnswer(Group):
    """The answer of ``icefront foods``.

    id: Number of the food that is meant, in the source of the table; `null` without words.
    sure: Whether the words surely mean this food or one like it.
    read_as: The words as they were read, where some were repaired.
    raw_or_cooked: Whether the words fit raw food and cooked food alike.
    choices: Foods that the words fit, the one that is meant first; one of them alone leaves no choice.
    why: Why the food is taken for this kind of food.
    foods: What else the words could mean, the best first; the whole table without words.
    more: How many more there are.
    """

    _keys = ('id', 'sure', 'read_as', 'raw_or_cooked', 'choices', 'why', 'foods', 'more')
    _lists = ('choices', 'why', 'foods')
    _parts = {'choices': FoodsChoices, 'why': FoodsWhy, 'foods': FoodsFoods}
    id: Optional[str]
    """Number of the food that is meant, in the source of the table; `null` without words."""
    sure: bool
    """Whether the words surely mean this food or one like it."""
    read_as: Optional[str]
    """The words as they were read, where some were repaired."""
    raw_or_cooked: bool
    """Whether the words fit raw food and cooked food alike."""
    choices: list[FoodsChoices]
    """Foods that the words fit, the one that is meant first; one of them alone leaves no choice."""
    why: list[FoodsWhy]
    """Why the food is taken for this kind of food."""
    foods: list[FoodsFoods]
    """What else the words could mean, the best first; the whole table without words."""
    more: int
    """How many more there are."""


class DryersDryers(Group):
    """By shelf area; all are invented.

    name: Its name in load sheets.
    note: What its file says about it.
    shelf_area_m2: All shelves together. In m2.
    shelves: Number of shelves.
    clear_height_mm: From shelf to shelf. In mm.
    set_point_c: What the shelves are heated to. In degC.
    condenser_area_m2: Surface of the condenser. In m2.
    """

    _keys = ('name', 'note', 'shelf_area_m2', 'shelves', 'clear_height_mm', 'set_point_c', 'condenser_area_m2')
    name: str
    """Its name in load sheets."""
    note: str
    """What its file says about it."""
    shelf_area_m2: Optional[float]
    """All shelves together. In m2."""
    shelves: int
    """Number of shelves."""
    clear_height_mm: Optional[float]
    """From shelf to shelf. In mm."""
    set_point_c: Optional[float]
    """What the shelves are heated to. In degC."""
    condenser_area_m2: Optional[float]
    """Surface of the condenser. In m2."""


class DryersAnswer(Group):
    """The answer of ``icefront dryers``.

    dryers: By shelf area; all are invented.
    """

    _keys = ('dryers',)
    _lists = ('dryers',)
    _parts = {'dryers': DryersDryers}
    dryers: list[DryersDryers]
    """By shelf area; all are invented."""


class EvidenceRowsPublished(Group):
    """As published.

    low: Low end; `null`: open or not published.
    value: The value, or the middle of the range.
    high: High end; `null`: open or not published.
    """

    _keys = ('low', 'value', 'high')
    low: Optional[float]
    """Low end; `null`: open or not published."""
    value: Optional[float]
    """The value, or the middle of the range."""
    high: Optional[float]
    """High end; `null`: open or not published."""


class EvidenceRowsPredicted(Group):
    """As predicted.

    value: The prediction; of a range its middle: the median of the samples, or what a table calls usual.
    low: One sample in ten lies below.
    high: One sample in ten lies above.
    """

    _keys = ('value', 'low', 'high')
    value: Optional[float]
    """The prediction; of a range its middle: the median of the samples, or what a table calls usual."""
    low: Optional[float]
    """One sample in ten lies below."""
    high: Optional[float]
    """One sample in ten lies above."""


class EvidenceRowsFirst(Group):
    """What the first version of the model predicted; `null` where nothing was drawn.

    predicted: Median and range of its samples.
    score: Its score.
    """

    _keys = ('predicted', 'score')
    _parts = {'predicted': EvidenceRowsPredicted}
    predicted: Optional[EvidenceRowsPredicted]
    """Median and range of its samples."""
    score: Optional[float]
    """Its score."""


class EvidenceRows(Group):
    """Rows by group.

    id: Short unique name.
    group: Group.
    kind: Verification, validation or textbook.
    quantity: Quantity in words.
    conditions: Under which conditions.
    unit: Unit of published, predicted and an absolute deviation.
    published: As published.
    predicted: As predicted.
    score: Score (CRPS) of the logarithm of its samples: 0 is perfect, 0.1 about 10 % off; `null` without samples.
    first: What the first version of the model predicted; `null` where nothing was drawn.
    deviation: Predicted less published: a fraction, or in the row's unit.
    measure: How the deviation is measured.
    allowed: Largest deviation allowed; `null` for a range.
    reason: Why that much.
    fitted: What was fitted.
    verdict: Near enough or not.
    miss: Believed reason of a known miss.
    source: Key of the source.
    drawn: Inputs that the source does not give; they were drawn.
    """

    _keys = ('id', 'group', 'kind', 'quantity', 'conditions', 'unit', 'published', 'predicted', 'score', 'first', 'deviation', 'measure', 'allowed', 'reason', 'fitted', 'verdict', 'miss', 'source', 'drawn')
    _parts = {'published': EvidenceRowsPublished, 'predicted': EvidenceRowsPredicted, 'first': EvidenceRowsFirst}
    id: str
    """Short unique name."""
    group: str
    """Group."""
    kind: Literal['verification', 'validation', 'textbook']
    """Verification, validation or textbook."""
    quantity: str
    """Quantity in words."""
    conditions: str
    """Under which conditions."""
    unit: str
    """Unit of published, predicted and an absolute deviation."""
    published: EvidenceRowsPublished
    """As published."""
    predicted: Optional[EvidenceRowsPredicted]
    """As predicted."""
    score: Optional[float]
    """Score (CRPS) of the logarithm of its samples: 0 is perfect, 0.1 about 10 % off; `null` without samples."""
    first: Optional[EvidenceRowsFirst]
    """What the first version of the model predicted; `null` where nothing was drawn."""
    deviation: Optional[float]
    """Predicted less published: a fraction, or in the row's unit."""
    measure: Literal['relative', 'absolute', 'range']
    """How the deviation is measured."""
    allowed: Optional[float]
    """Largest deviation allowed; `null` for a range."""
    reason: Optional[str]
    """Why that much."""
    fitted: Optional[Literal['another part', 'default set on it', '']]
    """What was fitted."""
    verdict: Literal['holds', 'known-miss', 'miss', 'holds-unexpectedly']
    """Near enough or not."""
    miss: Optional[str]
    """Believed reason of a known miss."""
    source: Optional[str]
    """Key of the source."""
    drawn: Optional[str]
    """Inputs that the source does not give; they were drawn."""


class EvidenceSummariesJudged(Group):
    """The group judged as a whole, without rows that a default was set on.

    ratios: Rows whose published and predicted figures can be divided: both above zero, no bound, not measured in kelvin or the like.
    published_over_predicted: Geometric mean of published over predicted: below 1 where the model is too slow or too high.
    spread_factor: Spread of that ratio as a factor: exp of the standard deviation of its logarithm.
    ranges: Rows judged by a predicted 10 to 90 % range.
    inside: Of these the published figure is inside.
    median_width: Median of high over low end of the ranges.
    chance_of_so_few: Probability of so few or fewer inside if four in five were right (one-sided binomial); 1 without ranges.
    chance_of_so_many: Probability of so many or more.
    score: Mean score (CRPS) of the logarithm over the rows that have samples: 0 is perfect, 0.1 about 10 % off.
    """

    _keys = ('ratios', 'published_over_predicted', 'spread_factor', 'ranges', 'inside', 'median_width', 'chance_of_so_few', 'chance_of_so_many', 'score')
    ratios: int
    """Rows whose published and predicted figures can be divided: both above zero, no bound, not measured in kelvin or the like."""
    published_over_predicted: Optional[float]
    """Geometric mean of published over predicted: below 1 where the model is too slow or too high."""
    spread_factor: Optional[float]
    """Spread of that ratio as a factor: exp of the standard deviation of its logarithm."""
    ranges: int
    """Rows judged by a predicted 10 to 90 % range."""
    inside: int
    """Of these the published figure is inside."""
    median_width: Optional[float]
    """Median of high over low end of the ranges."""
    chance_of_so_few: Optional[float]
    """Probability of so few or fewer inside if four in five were right (one-sided binomial); 1 without ranges."""
    chance_of_so_many: Optional[float]
    """Probability of so many or more."""
    score: Optional[float]
    """Mean score (CRPS) of the logarithm over the rows that have samples: 0 is perfect, 0.1 about 10 % off."""


class EvidenceSummaries(Group):
    """One summary per group, in the order of the groups.

    group: Group.
    rows: Rows.
    near: Rows within their tolerance or range.
    known_misses: Rows that miss and are listed.
    judged: The group judged as a whole, without rows that a default was set on.
    bias_own_unit: Mean deviation of the rows measured in their own unit.
    spread_own_unit: Standard deviation of these.
    worst: Row with the largest deviation over the allowed one.
    """

    _keys = ('group', 'rows', 'near', 'known_misses', 'judged', 'bias_own_unit', 'spread_own_unit', 'worst')
    _parts = {'judged': EvidenceSummariesJudged}
    group: str
    """Group."""
    rows: int
    """Rows."""
    near: int
    """Rows within their tolerance or range."""
    known_misses: int
    """Rows that miss and are listed."""
    judged: EvidenceSummariesJudged
    """The group judged as a whole, without rows that a default was set on."""
    bias_own_unit: Optional[float]
    """Mean deviation of the rows measured in their own unit."""
    spread_own_unit: Optional[float]
    """Standard deviation of these."""
    worst: Optional[str]
    """Row with the largest deviation over the allowed one."""


class EvidenceDryingTimes(Group):
    """Published drying times judged together.

    set: Which of them.
    now: This version.
    first: The first version of the model on the same rows.
    """

    _keys = ('set', 'now', 'first')
    _parts = {'now': EvidenceSummariesJudged, 'first': EvidenceSummariesJudged}
    set: str
    """Which of them."""
    now: EvidenceSummariesJudged
    """This version."""
    first: Optional[EvidenceSummariesJudged]
    """The first version of the model on the same rows."""


class EvidenceRules(Group):
    """Rules of the trade, which nobody published, beside what the model computes.

    id: Short unique name.
    statement: The rule in words.
    quantity: What is computed for it; empty where the model has no such figure.
    conditions: Under which conditions.
    unit: Unit of both figures.
    low: Low end of what the rule says; `null`: open.
    high: High end of what the rule says; `null`: open.
    computed: As computed, with typical inputs; a range is that of the quantity itself.
    source: Always the same words: nobody published it.
    """

    _keys = ('id', 'statement', 'quantity', 'conditions', 'unit', 'low', 'high', 'computed', 'source')
    _parts = {'computed': EvidenceRowsPredicted}
    id: str
    """Short unique name."""
    statement: str
    """The rule in words."""
    quantity: str
    """What is computed for it; empty where the model has no such figure."""
    conditions: str
    """Under which conditions."""
    unit: str
    """Unit of both figures."""
    low: Optional[float]
    """Low end of what the rule says; `null`: open."""
    high: Optional[float]
    """High end of what the rule says; `null`: open."""
    computed: Optional[EvidenceRowsPredicted]
    """As computed, with typical inputs; a range is that of the quantity itself."""
    source: Optional[str]
    """Always the same words: nobody published it."""


class EvidenceSources(Group):
    """Sources of the rows.

    key: Key.
    authors: Authors or issuing body.
    year: Year.
    title: Title and where it appeared.
    read: How the numbers were read.
    missing: What is missing or doubtful.
    """

    _keys = ('key', 'authors', 'year', 'title', 'read', 'missing')
    key: str
    """Key."""
    authors: str
    """Authors or issuing body."""
    year: str
    """Year."""
    title: str
    """Title and where it appeared."""
    read: str
    """How the numbers were read."""
    missing: str
    """What is missing or doubtful."""


class EvidenceAnswer(Group):
    """The answer of ``icefront evidence``.

    rows: Rows by group.
    summaries: One summary per group, in the order of the groups.
    drying_times: Published drying times judged together.
    rules: Rules of the trade, which nobody published, beside what the model computes.
    sources: Sources of the rows.
    """

    _keys = ('rows', 'summaries', 'drying_times', 'rules', 'sources')
    _lists = ('rows', 'summaries', 'drying_times', 'rules', 'sources')
    _parts = {'rows': EvidenceRows, 'summaries': EvidenceSummaries, 'drying_times': EvidenceDryingTimes, 'rules': EvidenceRules, 'sources': EvidenceSources}
    rows: list[EvidenceRows]
    """Rows by group."""
    summaries: list[EvidenceSummaries]
    """One summary per group, in the order of the groups."""
    drying_times: list[EvidenceDryingTimes]
    """Published drying times judged together."""
    rules: list[EvidenceRules]
    """Rules of the trade, which nobody published, beside what the model computes."""
    sources: list[EvidenceSources]
    """Sources of the rows."""
