"""The drawing leaves the page as a file that stands alone and shows what the sheet shows, covered readings covered."""

from __future__ import annotations

import struct
from collections.abc import Callable
from typing import Any
from xml.etree import ElementTree

import pytest
from playwright.sync_api import Page

from tests.browser.module_page import sample_sketches, shared

Run = Callable[..., Any]

SVG = "{http://www.w3.org/2000/svg}"
ONE = sample_sketches()[0]


def reading(text: str, value: float) -> dict[str, Any]:
    return {"exact": None, "value": value, "text": text}


# One capacitor of 100 µF on 9 V: Q = CV = 900 µC, U = QV/2 = 4.05 mJ.
SOLUTION = {
    "joints": {joint: {"conductor": "k1" if joint in "ab" else "k2"} for joint in ("a", "b", "c", "0")},
    "conductors": {
        "k1": {"joints": ["a", "b"], "potential": reading("9.00 V", 9), "isolated": False},
        "k2": {"joints": ["0", "c"], "potential": reading("0 V", 0), "isolated": False},
    },
    "parts": {
        "C1": {
            "voltage": reading("8.99 V", 9),
            "charge": reading("900 µC", 9e-4),
            "energy": reading("4.05 mJ", 4.05e-3),
        },
        "E1": {"voltage": reading("9.00 V", 9), "current": reading("0 A", 0), "power": reading("0 W", 0)},
    },
}
DRAW = """
  const { drawingElement, fileText } = await import("/static/exporting.js");
  const style = { kinds: given.kinds, big: 1, zigzag: false, overlays: { V: true, Q: true, U: true } };
  const covered = new Set(given.covered);
  const text = fileText(drawingElement(given.sketch, given.solution, style, (key) => covered.has(key), given.title));
"""


def drawing(
    run: Run, sketch: dict[str, Any], solution: Any = None, covered: tuple[str, ...] = (), title: str = "Lantern"
) -> str:
    given = {
        "kinds": shared("kinds")["kinds"],
        "sketch": sketch,
        "solution": solution,
        "covered": covered,
        "title": title,
    }
    return str(run(DRAW + "return text;", given))


def written(document: str) -> list[str]:
    """Every piece of text in the drawing."""
    return ["".join(text.itertext()) for text in ElementTree.fromstring(document).iter(f"{SVG}text")]


def test_the_svg_of_every_ready_sketch_is_xml_with_the_name_and_value_of_every_part(run: Run) -> None:
    for sketch in sample_sketches():
        texts = written(drawing(run, sketch))
        drawn = [part for part in sketch["parts"] if part["kind"] != "wire"]
        assert {part["name"] for part in drawn} <= set(texts)
        for part in (each for each in drawn if "value" in each):
            # A build is long; what stands beside the symbol is the capacitance, once there is an answer.
            value = "as built" if part["value"].startswith("plates") else part["value"]
            assert value + (f", rated {part['rated']}" if "rated" in part else "") in texts


def test_readings_are_written_in_the_svg(run: Run) -> None:
    assert {"8.99 V", "900 µC", "4.05 mJ", "9.00 V", "0 V"} <= set(written(drawing(run, ONE, SOLUTION)))


def test_what_is_covered_is_nowhere_in_the_svg(run: Run) -> None:
    document = drawing(run, ONE, SOLUTION, ("C1.voltage", "C1.charge", "joint b.potential"))
    assert "8.99 V" not in document
    assert "900 µC" not in document
    assert "9.00 V" not in document
    assert written(document).count("?") == 3
    assert "4.05 mJ" in written(document)


def test_the_svg_carries_its_title_as_text(run: Run) -> None:
    title = "Lantern </title><script>alert(1)</script> & “more” \u0001"
    root = ElementTree.fromstring(drawing(run, ONE, title=title))
    assert root[0].tag == f"{SVG}title"
    assert root[0].text == title.replace("\u0001", "\ufffd")


def test_the_svg_stands_alone(run: Run) -> None:
    root = ElementTree.fromstring(drawing(run, ONE, SOLUTION))
    tags = {element.tag for element in root.iter()}
    assert tags <= {SVG + tag for tag in ("svg", "title", "g", "rect", "path", "circle", "text", "tspan")}
    attributes = {name for element in root.iter() for name in element.attrib}
    assert attributes.isdisjoint({"class", "style", "href", "{http://www.w3.org/1999/xlink}href"})
    assert not any("url(" in value for element in root.iter() for value in element.attrib.values())


def test_everything_drawn_lies_within_the_view_on_a_ground_of_sheet_white(run: Run) -> None:
    root = ElementTree.fromstring(drawing(run, ONE, SOLUTION))
    x, y, width, height = (float(number) for number in root.attrib["viewBox"].split())
    ground = root[1].attrib
    assert ground["fill"] == "#fffdf8"
    assert [float(ground[name]) for name in ("x", "y", "width", "height")] == [x, y, width, height]
    for circle in root.iter(f"{SVG}circle"):
        across, down, radius = (float(circle.attrib[name]) for name in ("cx", "cy", "r"))
        assert x <= across - radius <= across + radius <= x + width
        assert y <= down - radius <= down + radius <= y + height
    for joint in ONE["joints"].values():
        assert x < 24 * joint[0] < x + width
        assert y < 24 * joint[1] < y + height


def test_an_energy_disc_at_the_edge_of_the_drawing_has_the_margin_that_everything_has(run: Run) -> None:
    alone = {
        "joints": {"a": [0, 0], "c": [0, 8]},
        "parts": [{"name": "C1", "kind": "capacitor", "value": "100 µF", "from": "a", "to": "c"}],
    }
    full = {**SOLUTION, "parts": {"C1": {**SOLUTION["parts"]["C1"], "energy": reading("5.00 mJ", 5e-3)}}}
    root = ElementTree.fromstring(drawing(run, alone, full))
    disc = next(circle for circle in root.iter(f"{SVG}circle") if circle.attrib["fill"] == "#e9b44c")
    left = float(root.attrib["viewBox"].split()[0])
    assert left == float(disc.attrib["cx"]) - float(disc.attrib["r"]) - 24


def test_an_empty_sheet_makes_an_empty_picture(run: Run) -> None:
    root = ElementTree.fromstring(drawing(run, {"joints": {}, "parts": []}))
    assert root.attrib["viewBox"].split()[2:] == ["528", "368"]
    assert written(ElementTree.tostring(root, encoding="unicode")) == []


PNG = (
    DRAW
    + """
  const { pngBlob } = await import("/static/exporting.js");
  const blob = await pngBlob(text, given.scale);
  const bytes = [...new Uint8Array(await blob.slice(0, 24).arrayBuffer())];
  const root = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  const drawn = ["width", "height"].map((name) => Number(root.getAttribute(name)));
  return { bytes, type: blob.type, size: blob.size, drawn };
"""
)


def png(run: Run, sketch: dict[str, Any], scale: float | None = None) -> tuple[dict[str, Any], tuple[int, int]]:
    """What is known of the PNG, and the width and height that its header states (PNG specification, 11.2.2)."""
    given = {"kinds": shared("kinds")["kinds"], "sketch": sketch, "solution": None, "covered": [], "title": "Lantern"}
    made = run(PNG, given if scale is None else {**given, "scale": scale})
    header = bytes(made["bytes"])
    assert header[:8] == b"\x89PNG\r\n\x1a\n"
    return made, struct.unpack(">II", header[16:24])


def test_the_png_has_two_pixels_to_a_sheet_unit_unless_told_otherwise(run: Run) -> None:
    made, size = png(run, ONE)
    assert made["type"] == "image/png"
    assert size == (2 * made["drawn"][0], 2 * made["drawn"][1])
    made, size = png(run, ONE, 3)
    assert size == (3 * made["drawn"][0], 3 * made["drawn"][1])


def test_a_drawing_larger_than_a_canvas_holds_is_drawn_smaller_in_the_same_shape(run: Run) -> None:
    wide = {"joints": {"a": [0, 0], "b": [500, 300]}, "parts": [{"name": "W1", "kind": "wire", "from": "a", "to": "b"}]}
    made, (width, height) = png(run, wide)
    assert width * height <= 16_010_000
    assert width / height == pytest.approx(made["drawn"][0] / made["drawn"][1], rel=1e-3)


def test_the_png_shows_the_ink_and_the_ground(run: Run) -> None:
    given = {"kinds": shared("kinds")["kinds"], "sketch": ONE, "solution": None, "covered": [], "title": "Lantern"}
    colours = run(
        DRAW
        + """
        const { pngBlob } = await import("/static/exporting.js");
        const bitmap = await createImageBitmap(await pngBlob(text));
        const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
        canvas.getContext("2d").drawImage(bitmap, 0, 0);
        const { data } = canvas.getContext("2d").getImageData(0, 0, bitmap.width, bitmap.height);
        const colours = {};
        for (let at = 0; at < data.length; at += 4) {
          const colour = data.slice(at, at + 4).join();
          colours[colour] = (colours[colour] ?? 0) + 1;
        }
        return colours;
        """,
        given,
    )
    ground, ink = "255,253,248,255", "29,43,58,255"
    assert max(colours, key=lambda colour: colours[colour]) == ground
    assert colours[ink] > 1000


def test_files_are_small_enough_to_mail(run: Run) -> None:
    for sketch in sample_sketches():
        assert len(drawing(run, sketch).encode()) < 20_000
        assert png(run, sketch)[0]["size"] < 200_000


def test_a_text_that_is_no_svg_is_told_and_makes_no_png(run: Run) -> None:
    told = run(
        """
        const { pngBlob } = await import("/static/exporting.js");
        return pngBlob("<svg").then(() => "made", (error) => error.message);
        """
    )
    assert told == "This browser could not make a PNG of the drawing: take the SVG."


NAMES = {
    "Storm lantern, three capacitors": "Storm lantern, three capacitors.svg",
    "Éclair 嵐 ∥ µF": "Éclair 嵐 ∥ µF.svg",
    "../../etc/passwd": "etc passwd.svg",
    'a/b\\c:d*e?f"g<h>i|j': "a b c d e f g h i j.svg",
    "turned \u202e gvs.exe": "turned gvs.exe.svg",
    "line\nbreak\ttab\u0000nul": "line break tab nul.svg",
    "  . dots . ": "dots.svg",
    "": "sheet.svg",
    "...": "sheet.svg",
    "CON": "sheet CON.svg",
    "lpt1": "sheet lpt1.svg",
    "🔦" * 80: "🔦" * 60 + ".svg",
}


def test_a_title_becomes_a_file_name_that_every_system_takes(run: Run) -> None:
    made = run(
        """
        const { fileName } = await import("/static/exporting.js");
        return given.map((title) => fileName(title, "svg"));
        """,
        list(NAMES),
    )
    assert made == list(NAMES.values())


def test_a_download_arrives_under_its_name(module_page: Page) -> None:
    with module_page.expect_download() as started:
        module_page.evaluate(
            """async () => {
              const { download } = await import("/static/exporting.js");
              download(new Blob(["<svg/>"], { type: "image/svg+xml" }), "Éclair.svg");
            }"""
        )
    assert started.value.suggested_filename == "Éclair.svg"
    assert started.value.path().read_text() == "<svg/>"
