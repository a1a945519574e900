"""A sketch that travels in a link arrives as it left, and a link that was damaged on the way says so."""

from __future__ import annotations

import base64
import json
import zlib
from collections.abc import Callable
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.browser.module_page import sample_sketches, shared

Run = Callable[..., Any]

ENCODE = "const { encodeLink } = await import('/static/link.js'); return encodeLink(given);"
DECODE = """
  const { decodeLink } = await import('/static/link.js');
  return JSON.stringify(await decodeLink(given));
"""
TOLD = """
  const { DamagedLink, decodeLink } = await import('/static/link.js');
  const told = [];
  for (const { fragment, kinds } of given) {
    const outcome = await decodeLink(fragment, kinds).catch((error) => error);
    told.push(outcome instanceof DamagedLink ? `${outcome.reason}: ${outcome.message}` : "opened");
  }
  return told;
"""
LANTERN = sample_sketches()[3]


def packed(text: str | bytes) -> str:
    """The fragment that carries a text, made with Python's own zlib."""
    data = zlib.compress(text.encode() if isinstance(text, str) else text)
    return base64.urlsafe_b64encode(data).decode().rstrip("=")


def unpacked(fragment: str) -> Any:
    return json.loads(zlib.decompress(base64.urlsafe_b64decode(fragment + "=" * (-len(fragment) % 4))))


joint_ids = st.from_regex(r"[A-Za-z0-9_]{1,20}", fullmatch=True) | st.sampled_from(
    ["__proto__", "constructor", "0", "10"]
)
values = st.text(max_size=12) | st.sampled_from(["10 µF", "4k7", "3/2 R", "V_0", "", "0,1 μF"])


@st.composite
def sketches(draw: st.DrawFn) -> dict[str, Any]:
    joints = draw(
        st.dictionaries(joint_ids, st.lists(st.integers(-(10**5), 10**5), min_size=2, max_size=2), max_size=6)
    )
    ends = st.sampled_from(sorted(joints) or ["no joint"])
    part = st.fixed_dictionaries(
        {
            "name": st.text(min_size=1, max_size=5),
            "kind": st.sampled_from(sorted(shared("kinds")["kinds"])),
            "from": ends,
            "to": ends,
        },
        optional={
            "value": values,
            "initial": values,
            "closed": st.booleans(),
            "bend": st.sampled_from(["upper", "lower"]),
        },
    )
    part = part.map(lambda each: {**each, "second": each["to"]} if each["kind"] == "two-way switch" else each)
    optional = {
        "title": st.text(max_size=120),
        "figures": st.integers(1, 12),
        "covered": st.lists(st.text(max_size=20), max_size=4),
        "of a later time": st.dictionaries(st.text(max_size=5), st.integers(-9, 9), max_size=3),
    }
    return draw(
        st.fixed_dictionaries(
            {"joints": st.just(joints), "parts": st.lists(part, max_size=5 if joints else 0)}, optional=optional
        )
    )


def with_keys_turned(value: Any) -> Any:
    """The same sketch with the keys of the sketch and of its parts in another order."""
    turned = {key: value[key] for key in reversed(value)}
    return {**turned, "parts": [{key: part[key] for key in reversed(part)} for part in value["parts"]]}


def test_every_ready_sketch_comes_back_from_its_link_as_it_was(run: Run) -> None:
    for sketch in sample_sketches():
        assert json.loads(run(DECODE, run(ENCODE, sketch))) == sketch


def test_the_links_of_the_ready_sketches_are_short_enough_for_every_mail_program(run: Run) -> None:
    assert max(len(run(ENCODE, sketch)) for sketch in sample_sketches()) < 1000


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(sketch=sketches())
def test_any_sketch_comes_back_and_other_programs_read_it_with_plain_zlib(run: Run, sketch: dict[str, Any]) -> None:
    fragment = run(ENCODE, sketch)
    assert unpacked(fragment) == sketch
    assert json.loads(run(DECODE, fragment)) == sketch


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(sketch=sketches())
def test_the_order_of_keys_does_not_change_the_link(run: Run, sketch: dict[str, Any]) -> None:
    assert run(ENCODE, with_keys_turned(sketch)) == run(ENCODE, sketch)


def test_the_order_of_joints_is_kept_because_the_first_may_be_the_zero(run: Run) -> None:
    sketch = {
        "joints": {"z": [0, 0], "a": [4, 0]},
        "parts": [{"name": "C1", "kind": "capacitor", "from": "a", "to": "z"}],
    }
    assert list(unpacked(run(ENCODE, sketch))["joints"]) == ["z", "a"]


def test_a_title_in_any_script_arrives(run: Run) -> None:
    for title in ("Éclair d’orage", "嵐のランタン", "Фонарь 🔦", "𝒞₁ ∥ 𝒞₂", 'quotes "and" \\ ends', "\u202eturned"):
        fragment = run(ENCODE, {**LANTERN, "title": title})
        assert json.loads(run(DECODE, f"#{fragment}"))["title"] == title


def test_a_link_is_made_of_signs_that_need_no_escaping(run: Run) -> None:
    assert set(run(ENCODE, LANTERN)) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_")


def test_a_link_with_one_sign_changed_never_opens_as_another_sheet(run: Run) -> None:
    opened = run(
        """
        const { DamagedLink, decodeLink, encodeLink } = await import('/static/link.js');
        const link = await encodeLink(given);
        const opened = [];
        for (let place = 0; place < link.length; place += 1)
          for (const sign of "A_") {
            const changed = link.slice(0, place) + sign + link.slice(place + 1);
            const outcome = await decodeLink(changed).catch((error) => error);
            if (!(outcome instanceof DamagedLink) && (await encodeLink(outcome)) !== link) opened.push(changed);
          }
        return opened;
        """,
        LANTERN,
    )
    assert opened == []


def test_a_link_cut_anywhere_is_refused(run: Run) -> None:
    refused = run(
        """
        const { DamagedLink, decodeLink, encodeLink } = await import('/static/link.js');
        const link = await encodeLink(given);
        const outcomes = [];
        for (let length = 0; length < link.length; length += 1)
          outcomes.push(await decodeLink(link.slice(0, length)).catch((error) => error instanceof DamagedLink));
        return outcomes;
        """,
        LANTERN,
    )
    assert len(refused) > 100
    assert set(refused) == {True}


WHOLE = packed(json.dumps(LANTERN))
ONE_JOINT = '{"joints": {"a": [0, 0]}, "parts": [%s]}'
DAMAGES = {
    "empty: This link carries no sheet": [""],
    "signs: This link is damaged": ["eJyrVgIAAQ8%3D", WHOLE + ".", WHOLE.replace("e", " ", 1)],
    "cut: This link is damaged": [WHOLE + "AAAA", WHOLE[:-1] + "__", WHOLE[: len(WHOLE) // 2], "AAAAAAAA", "A"],
    "content: This link came through whole": [
        packed(text)
        for text in (
            "not JSON",
            b'"\xff"',
            "[]",
            "null",
            '{"joints": {}}',
            '{"joints": [], "parts": []}',
            '{"joints": {}, "parts": [], "title": 5}',
            '{"joints": {"a": [0.5, 1]}, "parts": []}',
            ONE_JOINT % '{"name": "W1", "kind": "wire", "from": "a", "to": "b"}',
            ONE_JOINT % '{"name": "W1", "kind": "wire", "from": "a", "to": "toString"}',
            ONE_JOINT % '{"name": "C1", "kind": "capacitor", "value": 5, "from": "a", "to": "a"}',
        )
    ],
    "large: This link unpacks to more": [packed('{"joints": {}, "parts": [], "pad": "' + " " * 8_000_000 + '"}')],
}


def test_every_damage_is_told_in_a_sentence(run: Run) -> None:
    for beginning, fragments in DAMAGES.items():
        for told in run(TOLD, [{"fragment": fragment} for fragment in fragments]):
            assert told.startswith(beginning)
            assert told.endswith(".")


def test_a_part_of_a_kind_that_is_not_in_the_table_cannot_be_drawn(run: Run) -> None:
    sketch = {"joints": {"a": [0, 0], "b": [4, 0]}, "parts": [{"name": "L1", "kind": "lamp", "from": "a", "to": "b"}]}
    fragment = packed(json.dumps(sketch))
    known = [shared("kinds")["kinds"], {"lamp": {}}]
    told = run(TOLD, [{"fragment": fragment, "kinds": kinds} for kinds in known])
    assert told[0].startswith("content: ")
    assert told[1] == "opened"


def test_a_sheet_too_large_to_open_again_gets_no_link(run: Run) -> None:
    told = run(
        """
        const { encodeLink } = await import('/static/link.js');
        return encodeLink({ joints: {}, parts: [], title: "x".repeat(8_000_000) }).catch((error) => error.name);
        """
    )
    assert told == "TooLargeForLink"
