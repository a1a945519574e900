"""A drawing from outside is written anew from what is known to be harmless; everything else in it is refused."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.drawings import ATTRIBUTES, DEEPEST, LONGEST, MOST_ELEMENTS, DrawingRefused, clean_drawing
from tests.app.handouts import SVG, drawing


def test_a_drawing_of_ours_stays_as_it_is() -> None:
    content = (
        '<g fill="none" stroke="#000" stroke-linecap="round"><path d="M96 48L216.5 48" stroke-width="2.4"></path>'
        '<g transform="translate(96 120) rotate(90)"><path d="M-7-28V28" stroke-width="3.4"></path></g></g>'
        '<text x="4" y="12" font-family="&quot;STIX Two Text&quot;, serif" font-style="italic" font-size="19">'
        '<tspan>C</tspan><tspan dx="1" dy="4" font-size="13">1</tspan></text>'
    )
    root = f'<svg xmlns="{SVG}" viewBox="0 0 300 200" width="90mm" height="60mm" role="img" aria-label="Network">'
    text = f"{root}{content}</svg>"
    assert ElementTree.canonicalize(clean_drawing(text)) == ElementTree.canonicalize(text)


@pytest.mark.parametrize(
    "hostile",
    [
        drawing("<script>alert(1)</script>"),
        drawing('<image href="file:///etc/passwd" width="9" height="9"/>'),
        drawing('<image xmlns:xlink="http://www.w3.org/1999/xlink" xlink:href="http://127.0.0.1/"/>'),
        drawing('<use href="http://127.0.0.1/x.svg#a"/>'),
        drawing('<a href="javascript:alert(1)"><path d="M0 0H9"/></a>'),
        drawing("<foreignObject><p>words</p></foreignObject>"),
        drawing("<style>@import url(http://127.0.0.1/)</style>"),
        drawing('<path d="M0 0H9" style="fill: url(http://127.0.0.1/)"/>'),
        drawing('<path d="M0 0H9" fill="url(http://127.0.0.1/#a)"/>'),
        drawing('<path d="M0 0H9" filter="url(#f)"/>'),
        drawing('<path d="M0 0H9" onload="alert(1)"/>'),
        drawing('<path d="M0 0H9" class="of the page"/>'),
        drawing('<text font-family="x; } @import url(//a)">A</text>'),
        drawing('<path d="M0 0H9" transform="matrix(1 0 0 1 0 0)"/>'),
        drawing('<animate attributeName="x" to="9"/>'),
        drawing('<g xmlns="http://www.w3.org/1999/xhtml"><p>A</p></g>'),
        drawing(f'<svg xmlns="{SVG}" viewBox="0 0 1 1"></svg>'),
        drawing("words where none belong"),
        drawing("<?xml-stylesheet href='http://127.0.0.1/'?>"),
        f'<!DOCTYPE svg SYSTEM "http://127.0.0.1/a.dtd">{drawing()}',
        f'<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]><svg xmlns="{SVG}"><text>&a;</text></svg>',
        f'<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><svg xmlns="{SVG}"><text>&b;</text></svg>',
        '<svg><path d="M0 0H9"/></svg>',
        f'<path xmlns="{SVG}" d="M0 0H9"/>',
        f'<svg xmlns="{SVG}"',
        "",
        "not XML at all",
        f'<svg xmlns="{SVG}"><text>\ud800</text></svg>',
    ],
)
def test_what_the_page_does_not_draw_is_refused(hostile: str) -> None:
    with pytest.raises(DrawingRefused):
        clean_drawing(hostile)


@pytest.mark.parametrize("number", ["1e9", "-99999999", "1e999", "NaN", "Infinity", "0x10", "1" * 12])
def test_numbers_beyond_everything_that_can_be_seen_are_refused(number: str) -> None:
    with pytest.raises(DrawingRefused):
        clean_drawing(drawing(f'<rect x="{number}" y="0" width="9" height="9"/>'))
    with pytest.raises(DrawingRefused):
        clean_drawing(drawing(f'<path d="M0 0H{number}"/>'))


def test_too_much_is_refused() -> None:
    with pytest.raises(DrawingRefused, match="characters"):
        clean_drawing(drawing(f'<path d="{"M0 0" * (LONGEST // 4)}"/>'))
    with pytest.raises(DrawingRefused, match="elements"):
        clean_drawing(drawing("<g></g>" * MOST_ELEMENTS))
    clean_drawing(drawing("<g>" * (DEEPEST - 1) + "</g>" * (DEEPEST - 1)))
    with pytest.raises(DrawingRefused, match="deep"):
        clean_drawing(drawing("<g>" * DEEPEST + "</g>" * DEEPEST))


def test_words_stay_words() -> None:
    written = clean_drawing(drawing(words="&lt;b&gt; 5 &lt; 9 &amp; “more”"))
    assert "&lt;b&gt; 5 &lt; 9 &amp; “more”" in written
    assert "<b>" not in written


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"])), st.sampled_from(sorted(ATTRIBUTES)))
def test_no_value_of_an_attribute_leaves_it(value: str, name: str) -> None:
    escaped = value.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")
    try:
        written = clean_drawing(f'<svg xmlns="{SVG}"><g {name}="{escaped}"/></svg>')
    except DrawingRefused:
        return
    root = ElementTree.fromstring(written)
    assert [element.tag for element in root.iter()] == [f"{{{SVG}}}svg", f"{{{SVG}}}g"]
    assert root[0].attrib == {name: value}
    assert "url(" not in written.lower() or name == "aria-label"
