"""STEP: the frame as an assembly whose products carry the parts' names and colours (AP242, mm).

The kernel writes geometry and structure. Its header, occurrence numbers and order of colours change from
run to run, so they are replaced here (ISO 10303-21 text).
"""

from __future__ import annotations

import io
import itertools
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from OCP.gp import gp_Trsf
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.Message import Message
from OCP.STEPCAFControl import STEPCAFControl_Controller, STEPCAFControl_Writer
from OCP.STEPControl import STEPControl_StepModelType
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.XCAFDoc import XCAFDoc_DocumentTool

from frame3d.bodies.motion.pose import Matrix
from frame3d.caution import CAUTION
from frame3d.errors import OutputError
from frame3d.formats.copies import motion_to_right
from frame3d.formats.writer import timestamp
from frame3d.parameters.models.names import file_name
from frame3d.solids.model import Colour, FrameModel, FramePart

FRAME = "frame"
"""Name of the product that holds all others."""


def step(model: FrameModel, motions: Mapping[str, Matrix] | None = None) -> bytes:
    """Return the frame as STEP.

    Each part is a product with the part's name. If the right part of a pair is the left one after a
    rigid motion, both are instances of one product, named by the pair's key. A part without a plane of
    symmetry cannot be moved onto its mirror image, so such pairs are two products.

    Parts on a link of the rear suspension are in a sub-assembly with the link's name, which is placed as
    a whole: products are the same at every pose.

    Args:
        model: the frame.
        motions: of links from their drawn positions, by name: (4, 4) float [mm].

    Raises:
        OutputError: the kernel's writer fails.
    """
    colours: dict[str, Colour] = {}
    text = _raw(model, {} if motions is None else motions, colours)
    return _tidy(text, model.bike.spec.title, colours).encode("ascii")


def _raw(model: FrameModel, motions: Mapping[str, Matrix], colours: dict[str, Colour]) -> str:
    """Return the kernel's own STEP text, without colours; put each product's colour into `colours`."""
    with _silence():
        STEPCAFControl_Controller.Init_s()
        # AP242 where the kernel knows it (it does from 7.4 on), else AP214.
        if not Interface_Static.SetCVal_s("write.step.schema", "AP242DIS"):
            Interface_Static.SetCVal_s("write.step.schema", "AP214IS")
        Interface_Static.SetCVal_s("write.step.unit", "MM")
        document = TDocStd_Document(TCollection_ExtendedString("BinXCAF"))
        shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
        shapes.SetAutoNaming_s(False)
        top = shapes.NewShape()
        _name(top, FRAME)
        links: dict[str, TDF_Label] = {}
        products: dict[str, tuple[FramePart, TDF_Label]] = {}
        for part in model.parts:
            where = TopLoc_Location()
            motion = None
            left = products.get(f"{part.key}_left")
            if part.side == "right" and left is not None and left[0].colour == part.colour:
                motion = motion_to_right(left[0].shape, part.shape)
            if motion is not None and left is not None:
                label, where = left[1], TopLoc_Location(motion)
                _name(label, part.key)
                colours[part.key] = colours.pop(left[0].name)
            else:
                label = shapes.AddShape(part.shape, False, False)
                _name(label, part.name)
                products[part.name] = (part, label)
                colours[part.name] = part.colour
            holder = top
            if part.link is not None:
                if part.link not in links:
                    links[part.link] = shapes.NewShape()
                    _name(links[part.link], _link_name(model, part.link))
                holder = links[part.link]
            _name(shapes.AddComponent(holder, label, where), part.name)
        for link, label in links.items():
            where = (
                TopLoc_Location(_motion(motions[link])) if link in motions else TopLoc_Location()
            )
            _name(shapes.AddComponent(top, label, where), _link_name(model, link))
        shapes.UpdateAssemblies()
        writer = STEPCAFControl_Writer()
        writer.SetColorMode(False)
        writer.SetLayerMode(False)
        writer.SetNameMode(True)
        stream = io.BytesIO()
        done = writer.Transfer(document, STEPControl_StepModelType.STEPControl_AsIs)
        if not done or writer.WriteStream(stream) != IFSelect_ReturnStatus.IFSelect_RetDone:
            raise OutputError(
                model.bike.spec.fault(
                    "output", "", "the CAD kernel could not write STEP", "try another format"
                )
            )
    return stream.getvalue().decode("ascii")


def _link_name(model: FrameModel, link: str) -> str:
    """Return the name of a link's sub-assembly: the link's, unless a part has that name."""
    taken = any(link in (part.name, part.key) for part in model.parts)
    return f"{link}_link" if taken else link


def _motion(motion: Matrix) -> gp_Trsf:
    turn = gp_Trsf()
    turn.SetValues(*(float(x) for x in motion[:3].ravel()))
    return turn


def _name(label: TDF_Label, name: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name))


@contextmanager
def _silence() -> Iterator[None]:
    """Suppress the kernel's messages on standard output, which may carry JSON."""
    messenger = Message.DefaultMessenger_s()
    printers = list(messenger.Printers())
    for printer in printers:
        messenger.RemovePrinter(printer)
    try:
        yield
    finally:
        for printer in printers:
            messenger.AddPrinter(printer)


def _tidy(text: str, title: str, colours: Mapping[str, Colour]) -> str:
    """Return the text with our header, occurrences numbered from 1, and named and coloured solids."""
    body = text[text.index("DATA;") : text.rindex("ENDSEC;")]
    count = itertools.count(1)

    def occurrence(match: re.Match[str]) -> str:
        rest = re.sub(r"\n\s*", "", match[2])
        return f"{match[1]}'{next(count)}'{rest}"

    # Up to the end of the statement: the kernel's line breaks depend on its numbers.
    body = re.sub(
        r"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\()\s*'\d*'(.*?\);)", occurrence, body, flags=re.DOTALL
    )
    solids = _solids(body)
    for name, (solid, _) in solids.items():
        body = body.replace(
            f"#{solid} = MANIFOLD_SOLID_BREP('',", f"#{solid} = MANIFOLD_SOLID_BREP('{name}',"
        )
    last = max(int(n) for n in re.findall(r"^#(\d+) = ", body, re.MULTILINE))
    styles = []
    for name, (solid, context) in solids.items():
        red, green, blue = colours[name]
        styles += [
            f"#{last + 1} = COLOUR_RGB('',{red:.6f},{green:.6f},{blue:.6f});",
            f"#{last + 2} = FILL_AREA_STYLE_COLOUR('',#{last + 1});",
            f"#{last + 3} = FILL_AREA_STYLE('',(#{last + 2}));",
            f"#{last + 4} = SURFACE_STYLE_FILL_AREA(#{last + 3});",
            f"#{last + 5} = SURFACE_SIDE_STYLE('',(#{last + 4}));",
            f"#{last + 6} = SURFACE_STYLE_USAGE(.BOTH.,#{last + 5});",
            f"#{last + 7} = PRESENTATION_STYLE_ASSIGNMENT((#{last + 6}));",
            f"#{last + 8} = STYLED_ITEM('color',(#{last + 7}),#{solid});",
            f"#{last + 9} = MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(#{last + 8}),"
            f"#{context});",
        ]
        last += 9
    schema = re.search(r"FILE_SCHEMA\s*\(\(\s*('[^']*')\s*\)\);", text)
    assert schema is not None
    return "\n".join(
        [
            "ISO-10303-21;",
            "HEADER;",
            _description(),
            f"FILE_NAME({encoded(_title(title))},'{timestamp():%Y-%m-%dT%H:%M:%S}',('frame3d'),('unspecified'),",
            "  'Open CASCADE Technology','frame3d','none');",
            f"FILE_SCHEMA(({schema[1]}));",
            "ENDSEC;",
            body.rstrip(),
            *styles,
            "ENDSEC;",
            "END-ISO-10303-21;",
            "",
        ]
    )


def _solids(body: str) -> dict[str, tuple[str, str]]:
    """Return, by product that is a part, the ids of its solid and of its representation's context."""
    found: dict[str, tuple[str, str]] = {}
    name = ""
    pattern = (
        r"= PRODUCT\(\s*'([^']*)'"
        r"|= ADVANCED_BREP_SHAPE_REPRESENTATION\(\s*'[^']*',\s*\(\s*#\d+,\s*#(\d+)\s*\),\s*#(\d+)\s*\)"
    )
    for match in re.finditer(pattern, body):
        if match[1] is not None:
            name = match[1]
        else:
            found[name] = (match[2], match[3])
    return found


def _title(name: str) -> str:
    """Return a bike's name for the header, with typographic apostrophes.

    OCCT's reader takes a plain apostrophe before a bracket for the text's end, doubled or not.
    """
    return file_name(name).replace("'", "\u2019")


def _description() -> str:
    """Return the caution for the header, one string a sentence; each may have 256 characters."""
    sentences = [encoded(part.strip().rstrip(".") + ".") for part in CAUTION.split(". ")]
    return "FILE_DESCRIPTION((" + ",\n  ".join(sentences) + "),'2;1');"


def encoded(text: str) -> str:
    r"""Return text as ISO 10303-21 encodes it: apostrophes doubled, non-ASCII as ``\X2\....\X0\``."""
    out = []
    for character in text:
        if character == "'":
            out.append("''")
        elif character == "\\":
            out.append("\\\\")
        elif " " <= character <= "~":
            out.append(character)
        else:
            units = character.encode("utf-16-be").hex().upper()
            out.append(
                f"\\X2\\{units}\\X0\\" if len(units) == 4 else f"\\X4\\{ord(character):08X}\\X0\\"
            )
    return "'" + "".join(out) + "'"
