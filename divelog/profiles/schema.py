"""Every field of a boat, the kit, a site, a day and the settings: the one home of each fact.

A file says what is so; the journal says what was measured and when. A missing field is *unknown*, or *assumed* by
the rule of the same path in ``assumed``. Bounds are the widest that a model boat can mean: beyond them a slip of the
keyboard is likelier than the truth.
"""

from __future__ import annotations

from divelog.profiles.fields import Entries, Field, Kind, Mark, Schema

_R, _O, _A = Mark.REQUIRED, Mark.OPTIONAL, Mark.ASSUMED
FITTED = ("fitted", "not fitted")
MATERIALS = (
    "acrylic", "acrylic cast", "polycarbonate", "pvc", "aluminium", "grp", "printed", "resin", "unknown",
)  # fmt: skip
CHEMISTRIES = (
    "lithium polymer", "lithium ion", "lithium iron phosphate", "sealed lead-acid", "nickel metal hydride",
    "nickel cadmium",
)  # fmt: skip
BANDS = (
    "27 MHz",
    "35 MHz",
    "40 MHz",
    "72 MHz",
    "75 MHz",
    "433 MHz",
    "459 MHz",
    "868 MHz",
    "915 MHz",
    "2.4 GHz",
)
FLUIDS = ("isobutane", "n-butane", "propane", "R-134a", "dimethyl ether", "CO2", "air")
WATERS = ("rain", "fresh", "brackish", "salt_pool", "sea", "unknown")
LOOKS = (
    "mirror", "scaly ripples", "small glassy wavelets", "crests begin to break", "small waves, white horses",
)  # fmt: skip
RUBBERS = ("nitrile", "silicone", "fluorocarbon", "epdm", "polyurethane", "neoprene", "hnbr", "unknown")
GREASES = ("silicone", "marine", "lithium", "mineral", "ptfe", "petroleum jelly", "unknown")


def _q(
    path: str, mark: Mark, dimension: str, low: float | None = None, high: float | None = None, u95: float = 0.0,
    help: str = "", absent: bool = False,
) -> Field:  # fmt: skip
    return Field(path, Kind.QUANTITY, mark, dimension, (), u95, low, high, absent, help=help)


def _c(path: str, mark: Mark, *choices: str, absent: bool = False, help: str = "") -> Field:
    return Field(path, Kind.CHOICE, mark, choices=choices, may_be_absent=absent, help=help)


def _t(path: str, mark: Mark, private: bool = False, help: str = "", absent: bool = False) -> Field:
    return Field(path, Kind.TEXT, mark, private=private, help=help, may_be_absent=absent)


def _f(path: str, mark: Mark, help: str = "") -> Field:
    return Field(path, Kind.FLAG, mark, help=help)


def _n(path: str, mark: Mark, low: float = 0, high: float = 1000, help: str = "") -> Field:
    return Field(path, Kind.COUNT, mark, low=low, high=high, help=help)


_MM = 0.001

BOAT = Schema(
    "boat",
    "boat",
    (
        _n("format", _R, 1, 1),
        _t("name", _R, help="on every screen"),
        _c("hull", _R, "flooding", "dry", help="hull round a cylinder, or the hull is the cylinder"),
        _c("dives_by", _R, "weight", "planes"),
        _q("length", _R, "length", 0.1, 6.0, help="sets the size"),
        _q("mass", _R, "mass", 0.05, 500.0, help="ready to run, ballast empty"),
        _q("height", _A, "length", 0.01, 1.5, help="keel to deck"),
        _q("beam", _A, "length", 0.01, 1.5),
        _q("draught", _A, "length", 0.005, 1.5, help="surfaced, keel to waterline"),
        _q("displaced", _A, "volume", 2e-5, 0.6, help="dived, tank empty, solid parts too"),
        _q("wet_lift_mass", _A, "mass", 0.05, 800.0, u95=0.2, help="drained"),
        _q("sail_section", _O, "area", 1e-6, 0.1, help="of what keeps water out in the tower"),
        _c("shade", _A, "white", "bright", "grey", "dark grey", "black", help="how deep she is seen"),
        _f("owner_inside", _R, help="name and telephone inside the cylinder"),
        Field("upper_joins", Kind.CHOICES, _O, choices=("vent", "hose", "antenna", "lamp"),
              help="what is joined before the top goes on"),
        _c("top_held_by", _R, "hold-down", "hatch catch", "both", absent=True),
        _t("trimmed_at.site", _O),
        _c("trimmed_at.water", _O, *WATERS),
        _q("trimmed_at.temperature", _O, "temperature", 271.0, 313.15, u95=0.5),
        _q("trimmed_at.salinity", _O, "salinity", 0.0, 0.05),
        Field("trimmed_at.on", Kind.DATE, _O),
        _q("dived_balance", _O, "mass", -5.0, 20.0, help="upward positive, ballast in, at trimmed_at"),
        _q("trapped_air", _A, "volume", 0.0, 0.05),
        _q("foam.volume", _O, "volume", 0.0, 0.2),
        _c("foam.kind", _A, "soft", "rigid"),
        _q("form_volume", _A, "volume", 1e-5, 1.0, help="outside of the whole form"),
        _c("lights", _O, *FITTED),
        _c("depth_sensor", _O, *FITTED),
        _c("cylinder.material", _R, *MATERIALS),
        _q("cylinder.inside_diameter", _R, "length", 0.01, 0.6),
        _q("cylinder.inside_length", _R, "length", 0.02, 4.0, help="between inner cap faces"),
        _q("cylinder.wall", _O, "length", 0.0003, 0.05),
        _q("cylinder.outside_length", _A, "length", 0.02, 4.1),
        _q("cylinder.air", _A, "volume", 1e-6, 0.3),
        Field("cylinder.test_by", Kind.CHOICES, _R, choices=("vacuum", "pressure", "immersion")),
        _q("cylinder.most_gauge", _A, "pressure", 100.0, 1e6, help="the builder's figure, rules every test"),
        _f("cylinder.vent_plug", _R),
        Field("cylinder.closures", Kind.TEXTS, _R, help="counted at closing up"),
        _q("cylinder.above_keel", _A, "length", 0.0, 1.0, help="lowest outside point"),
        _q("cylinder.roundness", _O, "length", 0.0, 0.05, help="greatest less least diameter"),
        _q("cylinder.damp_parts", _A, "mass", 0.0, 20.0, help="nylon, paper, wood, foam inside"),
        _c("cylinder.short_test", _A, "pressure", "vacuum", "immersion"),
        _c("ballast.kind", _R, "none", "piston", "pumped_tank", "pumped_bag", "air_bladder", "gas", "snort_blower"),
        _f("ballast.inside_cylinder", _O, help="its stroke squeezes the cylinder's air"),
        _q("ballast.volume", _O, "volume", 1e-6, 0.2, help="usable"),
        _c("ballast.start_state", _O, "empty", "part full", "full"),
        _q("ballast.tank.bottom", _A, "length", 0.0, 1.0, help="lowest water in it above the keel"),
        _q("ballast.tank.length", _O, "length", 0.005, 3.0),
        _q("ballast.tank.width", _O, "length", 0.005, 1.0),
        _q("ballast.tank.height", _A, "length", 0.0, 1.0),
        _n("ballast.tank.baffles", _A, 0, 20),
        _q("ballast.fill_time", _O, "time", 0.1, 3600.0),
        _q("ballast.empty_time", _O, "time", 0.1, 3600.0),
        _q("ballast.at_voltage", _A, "voltage", 1.0, 100.0),
        _q("ballast.timed_at", _A, "length", 0.0, 20.0, help="keel depth of the timed baseline"),
        _q("ballast.pump_head", _A, "length", 0.01, 200.0),
        _c("ballast.vent", _A, "into cylinder", "mast, shut when dived", "open hose", "none"),
        _q("ballast.air_left", _O, "volume", 0.0, 0.05),
        _c("ballast.pump", _A, "gear", "diaphragm", "centrifugal"),
        _t("ballast.gas.bottle", _O),
        _q("ballast.gas.per_blow", _A, "gas a blow", 1e-5, 1.0),
        _f("ballast.empties_on_failsafe", _O),
        _q("motion.cruise", _A, "speed", 0.01, 10.0),
        _q("motion.full", _A, "speed", 0.01, 15.0),
        _q("motion.time_up", _O, "time", 0.5, 600.0, u95=1.0, help="from 0.5 m, transmitter off"),
        _q("motion.righting", _A, "length", 0.0001, 0.5, help="B above G, dived"),
        _q("motion.shaft_depth", _A, "length", 0.0, 1.0),
        _q("motion.propeller", _A, "length", 0.005, 0.5),
        _q("motion.froth_throttle", _O, "share", 0.01, 1.0),
        _c("radio.band", _R, *BANDS),
        _t("radio.transmitter", _R, help="id in kit"),
        _t("radio.memory", _R, help='name on its display; "none" for sets without'),
        _t("radio.receiver", _R),
        _q("radio.tip_above_deck", _R, "length", -0.2, 2.0),
        _q("radio.signal_lost_at.depth", _O, "length", 0.0, 20.0, u95=0.1),
        _q("radio.signal_lost_at.distance", _O, "length", 0.1, 500.0),
        _q("radio.signal_lost_at.conductivity", _O, "conductivity", 1e-5, 10.0),
        _q("radio.signal_lost_at.temperature", _O, "temperature", 271.0, 313.15, u95=0.5),
        _n("radio.check_paces", _O, 1, 2000, help="baseline, reduced power"),
        _q("radio.failsafe_delay", _A, "time", 0.0, 60.0, u95=0.3, help="signal gone to first movement"),
        _t("radio.channel", _O),
        _f("radio.memories", _A),
        _c("radio.on_loss", _A, "holds last", "failsafe at once"),
        _c("radio.mast", _A, "metal", "plastic", "none"),
        _q("radio.clear_length", _O, "length", 0.0, 3.0, u95=0.001),
        _q("radio.mast_forward", _A, "length", -3.0, 3.0),
        _q("radio.aerial_length", _O, "length", 0.01, 3.0),
        _c("controls.tail", _R, "cross", "x", "other"),
        _n("controls.tail_servos", _O, 2, 4),
        Field("controls.directions", Kind.WORDS, _O, help="results seen"),
        _c("controls.level_keeper", _O, *FITTED),
        _c("controls.sail_planes", _O, "switch", "stick", absent=True),
        _c("controls.bow_planes", _O, *FITTED),
        _q("controls.plane_area", _O, "area", 1e-6, 0.5),
        _q("controls.plane_span", _O, "length", 0.001, 1.0),
        _q("controls.plane_time", _A, "time", 0.01, 20.0),
        _c("controls.links", _O, "plain", "magnetic", "sprung"),
        Field("controls.linkages", Kind.TEXTS, _O),
        _c("controls.coupling", _O, "plain", "magnetic", absent=True),
        Field("power.drive_packs", Kind.TEXTS, _R, help="ids in kit"),
        _t("power.receiver_pack", _R, help='id in kit, or "from drive"'),
        _f("power.pack_in_wet", _R),
        _q("power.idle", _A, "current", 0.0, 100.0),
        _q("power.cruise", _A, "current", 0.001, 300.0),
        _q("power.full", _A, "current", 0.001, 500.0),
        _q("power.blow", _A, "current", 0.0, 100.0),
        _q("power.test_load", _A, "current", 0.01, 300.0),
        _q("power.keep_back", _A, "share", 0.2, 0.9),
        _q("power.receiver_least", _A, "voltage", 1.0, 30.0),
        Field("power.joints", Kind.TEXTS, _O),
        _q("power.cut_out", _O, "temperature", 300.0, 500.0),
        _q("power.heat_rise", _O, "temperature difference", 0.0, 150.0),
        _q("power.terminals.area", _A, "area", 1e-7, 0.01),
        _q("power.terminals.gap", _A, "length", 0.001, 1.0),
        _c("power.terminals.greased", _A, "this outing", "some time ago", "never"),
        _q("power.motor.kv", _O, "motor constant", 0.1, 5000.0),
        _q("power.motor.alone", _O, "current", 0.0, 50.0),
        _c("power.remote_switch", _O, *FITTED),
        _c("power.charge_plug", _O, "waterproof plug", "port", absent=True),
        _q("my_limits.deepest", _O, "length", 0.05, 50.0),
        _q("my_limits.depth_step", _A, "length", 0.05, 10.0),
        _q("my_limits.over_bottom", _A, "length", 0.0, 10.0),
        _q("my_limits.wave_height", _A, "length", 0.001, 1.0),
        _q("my_limits.dived_least", _O, "mass", 0.0, 10.0),
        _q("my_limits.dived_most", _O, "mass", 0.0, 20.0),
        _q("my_limits.leak_water", _A, "volume", 0.0, 0.001),
        _t("my_limits.because", _O, help="why a limit of her own is looser than the usual one"),
        Field("upkeep", Kind.WORDS, _A, help='one key a service item, as shaft_grease = "4 h or 30 d"'),
        Field("notes", Kind.WORDS, _O, private=True, help="free text, kept private when shared"),
    ),
    (
        Entries("cap", "id", (
            _t("id", _R),
            _c("material", _A, *MATERIALS),
            _q("thickness", _O, "length", 0.0005, 0.1, u95=0.0002),
            _q("supported", _O, "length", 0.005, 0.6),
            _c("held_by", _A, "friction", "screws", "rods", "catches", "bonded"),
            _c("hole", _A, "none", "bossed", "plain"),
        )),
        Entries("seal", "id", (
            _t("id", _R),
            _t("where", _R),
            _c("kind", _R, "piston_ring", "face", "lip", "pressure_lip", "gland", "bellows", "magnetic"),
            _f("moves", _R, help="upkeep by hours"),
            _c("rubber", _O, *RUBBERS),
            _c("grease", _O, *GREASES),
            Field("fitted", Kind.DATE, _O),
            _q("above_keel", _A, "length", 0.0, 1.0),
            _q("shaft.diameter", _O, "length", 0.0005, 0.1),
            _q("shaft.turns", _O, "turning", 0.1, 6000.0),
            _q("ring.inside", _O, "length", 0.0005, 0.6),
            _q("ring.section", _O, "length", 0.0005, 0.02),
            _q("groove.diameter", _O, "length", 0.0005, 0.6),
            _q("groove.width", _O, "length", 0.0005, 0.05),
            _q("groove.bore", _O, "length", 0.0005, 0.6),
            _q("groove.depth", _O, "length", 0.0002, 0.02),
            _q("groove.cap", _O, "length", 0.0005, 0.6),
            _q("groove.shaft", _O, "length", 0.0005, 0.6),
            _c("groove.made", _A, "turned", "printed"),
        )),
        Entries("failsafe", "trigger", (
            _c("trigger", _R, "signal lost", "low volts", "leak", "depth", "timer"),
            Field("does", Kind.WORDS, _R, help="by channel"),
            _q("hold", _O, "time", 0.0, 7200.0, help="how long it keeps trying"),
            _t("powered_from", _R),
        ), least=1),
        Entries("lead", "where", (
            _t("where", _R),
            _q("mass", _R, "mass", 0.0, 200.0),
            _q("x", _R, "length", -3.0, 3.0, help="forward of the middle"),
            _q("z", _R, "length", -1.0, 2.0, help="above the keel"),
        )),
        Entries("line", "id", (
            _t("list", _R),
            _t("id", _R),
            _c("change", _R, "add", "not fitted", "move"),
            _t("why", _R),
            _t("do", _O),
            _t("after", _O),
            _t("phase", _O),
        ), most=200),
    ),
)  # fmt: skip

KIT = Schema(
    "kit",
    "kit",
    (_n("format", _R, 1, 1),),
    (
        Entries("pack", "id", (
            _t("id", _R),
            _c("chemistry", _R, *CHEMISTRIES),
            _n("cells", _R, 1, 60),
            _q("capacity", _R, "charge", 36.0, 3.6e6, help="on the label"),
            _q("measured.capacity", _O, "charge", 1.0, 3.6e6),
            Field("measured.on", Kind.DATE, _O),
            _q("resistance", _O, "resistance", 1e-5, 20.0, help="at the boat's plug"),
            _q("mass", _O, "mass", 0.001, 100.0, help="a change of pack changes trim"),
            Field("bought", Kind.DATE, _O),
            Field("rate_exponent", Kind.COUNT, _A, low=1.0, high=1.6),
        ), most=500),
        Entries("bottle", "id", (
            _t("id", _R),
            _c("fluid", _R, *FLUIDS),
            _q("volume", _R, "volume", 1e-6, 0.05),
            _q("empty_mass", _R, "mass", 0.001, 20.0),
            _q("full_mass", _O, "mass", 0.001, 40.0),
        ), most=200),
        Entries("transmitter", "id", (
            _t("id", _R),
            _c("band", _R, *BANDS),
            Field("cells_fitted", Kind.DATE, _O),
            _q("range_mode_drop", _O, "level", 1.0, 60.0),
        ), most=200),
        Entries("meter", "id", (
            _t("id", _R),
            _c("reads", _R, "voltage", "current", "pressure", "temperature", "mass", "conductivity", "time", "length"),
            _q("accuracy", _O, "share", 0.0, 0.5),
            _t("step", _O),
        ), most=200),
    ),
)  # fmt: skip

SITE = Schema(
    "site",
    "site",
    (
        _n("format", _R, 1, 1),
        _t("name", _R),
        _c("kind", _R, "pond", "lake", "pool", "tank", "sea"),
        _c("water", _R, *WATERS),
        _q("conductivity", _A, "conductivity", 1e-6, 10.0, help="at 25 degC"),
        _q("salinity", _A, "salinity", 0.0, 0.05),
        _q("bottom", _R, "length", 0.1, 200.0, u95=0.1, help='deepest in the running area, or "unknown"'),
        _q("fetch", _A, "length", 1.0, 100_000.0, help="longest reach"),
        Field("weed_months", Kind.COUNTS, _O, low=1, high=12),
        _c("wading", _R, "no", "own risk", "unknown"),
        _f("second_person", _R),
        _f("peg_board", _O),
        Field("rescue", Kind.TEXTS, _O),
        Field("rules", Kind.TEXTS, _O, help="shown once on arrival"),
        Field("banks", Kind.QUANTITIES, _O, dimension="length", help="from the running area, by compass word"),
        _q("altitude", _A, "length", -430.0, 6000.0),
        Field("notes", Kind.WORDS, _O, private=True),
    ),
)  # fmt: skip

TODAY = Schema(
    "today",
    "day",
    (
        _n("format", _R, 1, 1),
        _t("site", _R),
        Field("at", Kind.MOMENT, _O),
        _t("by", _A),
        _q("water.temperature", _O, "temperature", 271.0, 313.15, u95=0.5, help="at the surface"),
        _q("water.clarity", _A, "length", 0.0, 60.0, u95=0.1, help="plate on a string"),
        _q("water.salinity", _O, "salinity", 0.0, 0.05),
        _q("water.conductivity", _O, "conductivity", 1e-6, 10.0, help="at 25 degC"),
        _q("air.temperature", _A, "temperature", 233.0, 333.0, u95=1.0),
        _c("air.look", _O, *LOOKS),
        _q("air.wind", _O, "speed", 0.0, 40.0),
        _q("air.wind_height", _A, "length", 0.5, 100.0),
        _t("air.from", _O, help="compass word or degrees"),
        _q("air.humidity", _O, "share", 0.0, 1.0),
        _q("air.pressure", _O, "pressure", 45_000.0, 110_000.0),
        Field("closed", Kind.QUANTITIES, _A, dimension="temperature", u95=1.0, low=233.0, high=343.0,
              help="air temperature where each boat was closed"),
    ),
    (
        Entries("plan", "boat", (
            _t("boat", _R),
            _t("pack", _O),
            _q("depth", _O, "length", 0.0, 50.0, u95=0.05, help="keel"),
            _q("distance", _O, "length", 0.0, 2000.0),
            _q("minutes", _O, "time", 0.0, 86_400.0),
            _q("throttle.slow", _A, "share", 0.0, 1.0),
            _q("throttle.half", _A, "share", 0.0, 1.0),
            _q("throttle.full", _A, "share", 0.0, 1.0),
            _q("dive_angle", _A, "angle", 0.0, 1.4),
            _n("blows", _A, 0, 50),
        ), most=64),
    ),
)  # fmt: skip

SETTINGS = Schema(
    "settings",
    "settings",
    (
        _n("format", _R, 1, 1),
        _q("own_pace", _A, "length", 0.2, 2.0),
        _t("season_start", _A, help="day and month, as 1 March"),
        _c("theme", _A, "sun", "dark", "own"),
        _t("device", _O),
        _t("sheets", _O, help="folder of printed sheets"),
        _f("narrow_blocks", _O, help="block characters are one column wide"),
        _f("bell", _O),
    ),
)

MEASURED_ONLY: tuple[Field, ...] = (
    _q("shaft.no_load.ahead", _O, "current", 0.0, 100.0),
    _q("shaft.no_load.astern", _O, "current", 0.0, 100.0),
    _q("joint.drop", _O, "voltage", 0.0, 5.0),
    _q("pack.resistance", _O, "resistance", 1e-5, 20.0),
    _q("pack.volts_blow", _O, "voltage", 0.5, 300.0, help="at the boat's plug, pump or piston running, today"),
    _q("pack.volts_end", _O, "voltage", 0.5, 300.0, help="the same at the end of a run"),
    _q("pack.charge_per_minute", _O, "current", 0.0, 500.0, help="charge put back over minutes run"),
    _q("bottle.weighed", _O, "mass", 0.001, 40.0, help="the bottle on the scales today"),
)  # fmt: skip
"""Paths that only ``measured`` events, ``--set`` and readings give; never in a file."""

SCHEMAS: dict[str, Schema] = {s.root: s for s in (BOAT, KIT, SITE, TODAY, SETTINGS)}
