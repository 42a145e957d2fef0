"""Stock parts, one record type per kind, as they stand in resources/stock/*.toml.

Sizes are inches, weights pounds, voltages kV. `known` names the fields whose value is known in
another way than the part's `source` says, for instance `pins_in = "house"`.
"""

from typing import Literal, TypeAlias

from msgspec import Struct, field

from framer.stock.source import HowKnown, Source


class Bore(Struct, frozen=True, forbid_unknown_fields=True):
    """A hole through the pole that the part needs when it sits on one.

    `down_in` is below the part's own height; `plate_in` is the thickness of fitting metal on the
    bolt besides timber; `bolt` what goes in.
    """

    down_in: float = 0.0
    bolt_dia_in: float = 0.625
    plate_in: float = 0.0
    bolt: Literal["machine", "double arming"] = "machine"


class Hardware(Struct, frozen=True, forbid_unknown_fields=True):
    """Small hardware that comes with each placing of the part.

    `like_pole_bolt`: bolts of the same diameter and length as the one through the pole.
    `arm_bolt_dia_in`: bolts of this diameter through the arm the part sits on, and `plate_in` of
    its own metal; their length follows from the arm.
    """

    name: str
    count: float
    unit: str = "ea"
    like_pole_bolt: bool = False
    arm_bolt_dia_in: float | None = None
    plate_in: float = 0.0


class Part(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, tag_field="kind"):
    """What every stock part has.

    `brings` are ids of parts that are put in with it, on it, as an arm brings its braces.
    """

    id: str
    name: str
    source: Source
    known: dict[str, HowKnown] = field(default_factory=dict)
    weight_lb: tuple[float, float] | None = None
    bores: tuple[Bore, ...] = ()
    hardware: tuple[Hardware, ...] = ()
    brings: tuple[str, ...] = ()
    note: str = ""

    @property
    def kind(self) -> str:
        """The kind of item this part can be."""
        return str(self.__struct_config__.tag)

    def how_known(self, name: str) -> HowKnown:
        """How the value of one field is known."""
        return self.known.get(name, self.source.how_known)


class ArmPart(Part, frozen=True, tag="arm"):
    """A crossarm: `width_in` lies along the bolt, `depth_in` is upright.

    `pins_in` are pin positions from the bolt, one side negative. `gain_in` is how far it is let
    into the pole; `members` 2 is a double arm. `middle_in` is where its middle lies from the bolt,
    for an arm that stands out to one side. `species` is the timber, an id in
    resources/strength/arm-wood.toml; `pin_hole_in` the upright holes its pins sit in;
    `position_lbf` the pull each wire position is rated for.
    """

    length_in: float
    width_in: float
    depth_in: float
    pins_in: tuple[float, ...] = ()
    gain_in: float = 0.0
    middle_in: float = 0.0
    members: Literal[1, 2] = 1
    material: Literal["wood", "fibreglass", "steel"] = "wood"
    species: str = ""
    pin_hole_in: float | None = None
    position_lbf: float | None = None


class BracePart(Part, frozen=True, tag="brace"):
    """A pair of struts from the arm, `reach_in` either side of the pole, to `drop_in` below."""

    reach_in: float
    drop_in: float
    metal: bool = True


class InsulatorPart(Part, frozen=True, tag="insulator"):
    """An insulator with what holds it.

    style pin, post: upright on an arm (a post on a pole stands out sideways); pole top: upright
    beside the top; spool, rack: on the pole's side; suspension: hangs; dead-end: strung out along
    its wire. `groove_in` is the wire's height above the arm's top, above the bolt for pole top
    and spool. `length_in` is how far the wire end is from the mounting face for those strung out
    or standing out. `levels_in` are the wire places of a rack, down from its bolt.
    `class_kv` is the highest circuit voltage between phases it is meant for. `sideways_lbf` is the
    rated strength against a pull across its axis at the wire, `along_lbf` that against one along
    it, away from its mount.
    """

    style: Literal["pin", "post", "pole top", "suspension", "dead-end", "spool", "rack"]
    dia_in: float
    groove_in: float = 0.0
    length_in: float = 0.0
    levels_in: tuple[float, ...] = (0.0,)
    class_kv: float | None = None
    sideways_lbf: float | None = None
    along_lbf: float | None = None


class Live(Struct, frozen=True, forbid_unknown_fields=True):
    """An exposed energised point of equipment, from its bolt: up, outward, to the right."""

    up_in: float
    out_in: float
    right_in: float = 0.0


Reach: TypeAlias = tuple[float, float]
"""From where to where."""


class Space(Struct, frozen=True, forbid_unknown_fields=True):
    """Space that equipment needs to work or be worked on, a box from its bolt.

    `words` says what for, as in "swing of the fuse holder". Up, outward from the mounting face
    and to the right, each from and to.
    """

    words: str
    up_in: Reach
    out_in: Reach
    right_in: Reach
    how_known: HowKnown


class CasePart(Part, frozen=True, kw_only=True):
    """Equipment with a body: a box or upright cylinder `out_in` from the mounting face.

    `top_in` is the body's top above the bolt. `grounded` says whether the case is bonded,
    `communications` that it is no supply equipment. `needs` are the spaces it takes to work,
    `None` when not known.
    """

    height_in: float
    width_in: float
    deep_in: float
    top_in: float = 0.0
    out_in: float = 0.0
    round: bool = False
    live: tuple[Live, ...] = ()
    class_kv: float | None = None
    grounded: bool | None = None
    communications: bool = False
    needs: tuple[Space, ...] | None = None


class TransformerPart(CasePart, frozen=True, tag="transformer"):
    """A transformer tank with its bushings."""


class CutoutPart(CasePart, frozen=True, tag="cutout"):
    """A fused cutout, drawn closed."""


class ArresterPart(CasePart, frozen=True, tag="arrester"):
    """A surge arrester."""


class EquipmentPart(CasePart, frozen=True, tag="equipment"):
    """Switches, meters, boxes and other equipment; a `meter` is read from the ground."""

    meter: bool = False


class LampPart(CasePart, frozen=True, tag="lamp"):
    """A street lamp with its bracket."""


class BracketPart(CasePart, frozen=True, tag="bracket"):
    """A bracket that carries equipment."""


class RunPart(Part, frozen=True, kw_only=True):
    """Something running along the pole, `out_in` clear of its surface."""

    dia_in: float
    out_in: float = 0.0
    covered: bool = True


class RiserPart(RunPart, frozen=True, tag="riser"):
    """A cable riser."""


class GroundWirePart(RunPart, frozen=True, tag="ground wire"):
    """A ground wire, usually under molding."""


class GuyPart(Part, frozen=True, tag="guy"):
    """Guy strand by size and grade, with its grip and attachment."""

    dia_in: float
    strength_lbf: float
    weight_lb_per_ft: float | None = None
    insulator_in: float | None = None


class AttachmentPart(Part, frozen=True, tag="attachment"):
    """A fitting that holds a cable or messenger, the cable's middle `out_in` from the surface."""

    out_in: float
    dia_in: float = 1.0


class CoverPart(Part, frozen=True, tag="cover"):
    """Rubber or plastic cover-up over a wire or insulator."""

    length_in: float
    dia_in: float
    cover_class: str | None = None


class LiftPart(Part, frozen=True, tag="lift"):
    """A device that carries wires or a pole during the transfer; ratings are typed from its tag.

    `positive`: it holds a wire by itself. A hand or a handline does not, unless a rating is typed.
    """

    reach_in: float = 0.0
    positive: bool = True


class WirePart(Part, frozen=True, tag="wire"):
    """A conductor, cable or messenger."""

    dia_in: float
    weight_lb_per_ft: float
    strength_lbf: float | None = None
    area_in2: float | None = None
    material: str = ""
    stranding: str = ""
    covered: bool = False


AnyPart: TypeAlias = (
    ArmPart
    | BracePart
    | InsulatorPart
    | TransformerPart
    | CutoutPart
    | ArresterPart
    | EquipmentPart
    | LampPart
    | BracketPart
    | RiserPart
    | GroundWirePart
    | GuyPart
    | AttachmentPart
    | CoverPart
    | LiftPart
    | WirePart
)
