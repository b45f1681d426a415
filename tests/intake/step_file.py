"""STEP files of a block and of a round bar, entity by entity, in millimetres, inches or metres."""

from collections.abc import Sequence
from itertools import product

FRAME = """ISO-10303-21;
HEADER;
FILE_DESCRIPTION(('part'),'2;1');
FILE_NAME('part','2000-01-01T00:00:00',(''),(''),'','','');
FILE_SCHEMA(('AUTOMOTIVE_DESIGN {{ 1 0 10303 214 1 1 1 1 }}'));
ENDSEC;
DATA;
{data}ENDSEC;
END-ISO-10303-21;
"""
Numbers = Sequence[float]


class Entities:
    """The lines of a file; each is known by its number."""

    def __init__(self) -> None:
        self.lines: list[str] = []

    def add(self, text: str) -> str:
        """One entity."""
        self.lines.append(text)
        return f"#{len(self.lines)}"

    def triple(self, kind: str, values: Numbers) -> str:
        """A point or a direction."""
        return self.add(f"{kind}('',({','.join(repr(float(each)) for each in values)}))")

    def axes(self, at: Numbers, z: Numbers, x: Numbers) -> str:
        """A place with two directions."""
        point, first, second = (
            self.triple("CARTESIAN_POINT", at), self.triple("DIRECTION", z), self.triple("DIRECTION", x)
        )  # fmt: skip
        return self.add(f"AXIS2_PLACEMENT_3D('',{point},{first},{second})")

    def vertex(self, at: Numbers) -> str:
        """A corner."""
        return self.add(f"VERTEX_POINT('',{self.triple('CARTESIAN_POINT', at)})")

    def line(self, at: Numbers, along: Numbers) -> str:
        """A straight line."""
        length = sum(each * each for each in along) ** 0.5
        way = self.add(f"VECTOR('',{self.triple('DIRECTION', [each / length for each in along])},1.)")
        return self.add(f"LINE('',{self.triple('CARTESIAN_POINT', at)},{way})")

    def edge(self, ends: tuple[str, str], curve: str) -> str:
        """A piece of a curve between two corners."""
        return self.add(f"EDGE_CURVE('',{ends[0]},{ends[1]},{curve},.T.)")

    def face(self, edges: Sequence[tuple[str, bool]], surface: str) -> str:
        """A face within a loop of edges, each run forwards or backwards."""
        turned = [self.add(f"ORIENTED_EDGE('',*,*,{edge},{'.T.' if forwards else '.F.'})") for edge, forwards in edges]
        loop = self.add(f"EDGE_LOOP('',({','.join(turned)}))")
        bound = self.add(f"FACE_OUTER_BOUND('',{loop},.T.)")
        return self.add(f"ADVANCED_FACE('',({bound}),{surface},.T.)")


def block(sides: tuple[float, float, float], unit: str) -> bytes:
    """A block from the origin."""
    made = Entities()
    places = {key: [side * end for side, end in zip(sides, key, strict=True)] for key in product((0, 1), repeat=3)}
    corners = {key: made.vertex(at) for key, at in places.items()}
    edges: dict[tuple[tuple[int, ...], tuple[int, ...]], str] = {}

    def edge(one: tuple[int, ...], other: tuple[int, ...]) -> tuple[str, bool]:
        """The edge between two corners, made once."""
        low, high = sorted((one, other))
        if (low, high) not in edges:
            along = [b - a for a, b in zip(places[low], places[high], strict=True)]
            edges[low, high] = made.edge((corners[low], corners[high]), made.line(places[low], along))
        return edges[low, high], low == one

    faces = []
    for axis, end in product(range(3), (0, 1)):
        first = (axis + 1) % 3

        def corner(a: int, b: int, axis: int = axis, end: int = end) -> tuple[int, ...]:
            """A corner of this face."""
            at = {axis: end, (axis + 1) % 3: a, (axis + 2) % 3: b}
            return tuple(at[each] for each in range(3))

        ring = [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)][:: 1 if end else -1]
        normal = [0.0, 0.0, 0.0]
        normal[axis] = 1.0 if end else -1.0
        across = [float(each == first) for each in range(3)]
        plane = made.add(f"PLANE('',{made.axes(places[ring[0]], normal, across)})")
        faces.append(made.face([edge(ring[n], ring[(n + 1) % 4]) for n in range(4)], plane))
    return whole(made, faces, unit)


def bar(radius: float, length: float, unit: str) -> bytes:
    """A round bar along z from the origin."""
    made = Entities()
    x, up, down = (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)
    ends = [made.vertex((radius, 0.0, z)) for z in (0.0, length)]
    rings = [
        made.edge((end, end), made.add(f"CIRCLE('',{made.axes((0.0, 0.0, z), up, x)},{float(radius)!r})"))
        for end, z in zip(ends, (0.0, length), strict=True)
    ]
    seam = made.edge((ends[0], ends[1]), made.line((radius, 0.0, 0.0), up))
    mantle = made.add(f"CYLINDRICAL_SURFACE('',{made.axes((0.0, 0.0, 0.0), up, x)},{float(radius)!r})")
    faces = [
        made.face([(rings[0], True), (seam, True), (rings[1], False), (seam, False)], mantle),
        made.face([(rings[0], False)], made.add(f"PLANE('',{made.axes((0.0, 0.0, 0.0), down, x)})")),
        made.face([(rings[1], True)], made.add(f"PLANE('',{made.axes((0.0, 0.0, length), up, x)})")),
    ]
    return whole(made, faces, unit)


def length_unit(made: Entities, unit: str) -> str:
    """The unit in which the lengths of the file are counted."""
    if unit == "m":
        return made.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT($,.METRE.))")
    base = made.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))")
    if unit == "mm":
        return base
    powers = made.add("DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.)")
    inch = made.add(f"LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),{base})")
    return made.add(f"(CONVERSION_BASED_UNIT('INCH',{inch})LENGTH_UNIT()NAMED_UNIT({powers}))")


def whole(made: Entities, faces: Sequence[str], unit: str) -> bytes:
    """The file round a closed shell."""
    shell = made.add(f"CLOSED_SHELL('',({','.join(faces)}))")
    solid = made.add(f"MANIFOLD_SOLID_BREP('',{shell})")
    length = length_unit(made, unit)
    angle = made.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))")
    cone = made.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())")
    near = made.add(f"UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-07),{length},'','')")
    context = made.add(
        f"(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT(({near}))"
        f"GLOBAL_UNIT_ASSIGNED_CONTEXT(({length},{angle},{cone}))REPRESENTATION_CONTEXT('',''))"
    )
    origin = made.axes((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    shape = made.add(f"ADVANCED_BREP_SHAPE_REPRESENTATION('',({origin},{solid}),{context})")
    use = made.add("APPLICATION_CONTEXT('')")
    made.add(f"APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,{use})")
    product_context = made.add(f"PRODUCT_CONTEXT('',{use},'mechanical')")
    part = made.add(f"PRODUCT('part','part','',({product_context}))")
    form = made.add(f"PRODUCT_DEFINITION_FORMATION('','',{part})")
    view = made.add(f"PRODUCT_DEFINITION_CONTEXT('part definition',{use},'design')")
    definition = made.add(f"PRODUCT_DEFINITION('design','',{form},{view})")
    of_part = made.add(f"PRODUCT_DEFINITION_SHAPE('','',{definition})")
    made.add(f"SHAPE_DEFINITION_REPRESENTATION({of_part},{shape})")
    data = "".join(f"#{number}={text};\n" for number, text in enumerate(made.lines, start=1))
    return FRAME.format(data=data).encode()
