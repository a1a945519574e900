"""The handout as PDF: what is on its pages, what is refused, and what happens where it cannot be made."""

from __future__ import annotations

import io
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from pypdf import PdfReader

from app import create_app
from app.config import IN_MEMORY, Config
from app.limits import START_SECONDS
from app.solver_process import SolverProcesses
from tests.app.calls import LANTERN, assert_problem
from tests.app.handouts import drawing, request_for, sizes, texts

# Pango is a library of the system's, and not of Python's.
NO_PANGO = """
import cffi

given = cffi.FFI.dlopen
def dlopen(self, name, flags=0):
    if "pango" in str(name) or "gobject" in str(name):
        raise OSError(f"cannot load library '{name}'")
    return given(self, name, flags)
cffi.FFI.dlopen = dlopen
"""
NO_WEASYPRINT = "import sys; sys.modules['weasyprint'] = None"
NEVER_READY = "import time, pathlib; pathlib.Path({mark!r}).touch(); time.sleep(600)"


@pytest.fixture
def handicapped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[SolverProcesses]:
    """Solver processes on a machine that a test breaks by writing a sitecustomize.py into its folder."""
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    processes = SolverProcesses()
    yield processes
    processes.close()


def client_of(processes: SolverProcesses) -> FlaskClient:
    return create_app(Config(IN_MEMORY), processes).test_client()


def pdf(client: FlaskClient, **options: Any) -> bytes:
    response = client.post("/api/handout.pdf", json=request_for(**options))
    assert response.status_code == 200, response.text
    assert response.mimetype == "application/pdf"
    assert response.headers["Cache-Control"] == "no-store"
    return bytes(response.data)


def test_question_sheet_and_answer_key_are_on_pages_of_their_own(client: FlaskClient) -> None:
    question, *key = texts(pdf(client))
    assert "Name Class Date" in question
    assert "Storm lantern" in question
    assert "Find the voltage across C1." in question
    assert "Working" in question
    assert "asked" in question
    # 30 and 15 µF in series are 10 µF: 90 µC, 3 V and 6 V; the energies are 135 µJ and 270 µJ.
    for reading in ("3.00 V", "6.00 V", "90.0 µC", "135 µJ", "270 µJ"):
        assert reading not in question
        assert reading in key[0]
    assert "Answer key" in key[0]
    assert "answered" in key[0]
    assert "Worked solution" in " ".join(key)


def test_the_ledger_to_fill_in_has_the_values_and_an_empty_place_for_the_rest(client: FlaskClient) -> None:
    [question] = texts(pdf(client, key=False))
    assert "Part Capacitance Voltage Charge Energy C1 30 µF C2 15 µF Across E1" in question


def test_the_worked_solution_has_its_sentences_its_drawings_and_its_formulas(client: FlaskClient) -> None:
    whole = " ".join(texts(pdf(client, question=False)))
    assert "C1 and C2 carry the same charge" in whole
    assert "reduced" in whole
    assert "rounded to 3 significant figures only where they are shown" in whole
    # Formulas are drawn; beside them stands what a search or a screen reader finds.
    assert "V1 = Q1/C1 = 90.0 µC/(30.0 µF) = 3.00 V" in whole


@pytest.mark.parametrize(("paper", "size"), [("a4", (210, 297)), ("letter", (216, 279))])
def test_the_paper_is_the_one_that_was_asked_for(client: FlaskClient, paper: str, size: tuple[int, int]) -> None:
    assert sizes(pdf(client, paper=paper)) == {size}


def test_the_lines_to_write_on_do_not_run_over_the_page(client: FlaskClient) -> None:
    assert len(texts(pdf(client, key=False, lines=8))) == 1
    own = texts(pdf(client, key=False, lines=26, ownPage=True))
    assert len(own) == 2
    assert "Working" in own[1]


def test_each_sheet_and_each_piece_of_the_key_can_be_left_out(client: FlaskClient) -> None:
    assert "Answer key" not in " ".join(texts(pdf(client, key=False)))
    key = " ".join(texts(pdf(client, question=False, tiles=False, steps=False, room="none")))
    for words in ("Name Class Date", "Working", "tiled", "Worked solution"):
        assert words not in key
    assert "135 µJ" in key
    assert "tiled" in " ".join(texts(pdf(client, question=False)))


def test_a_caution_stands_on_the_first_sheet_there_is(client: FlaskClient) -> None:
    both = texts(pdf(client))
    assert "capacitors stay charged" in both[0]
    assert "capacitors stay charged" not in " ".join(both[1:])
    assert "capacitors stay charged" in " ".join(texts(pdf(client, question=False)))


def test_what_is_covered_is_asked_and_the_rest_is_given(client: FlaskClient) -> None:
    [question] = texts(pdf(client, sketch=LANTERN | {"covered": ["C1.charge"]}, key=False))
    assert "C1 30 µF 3.00 V 135 µJ" in question
    assert "C2 15 µF 6.00 V 90.0 µC 270 µJ" in question


def test_what_is_past_its_rating_is_marked_on_the_key_alone(client: FlaskClient) -> None:
    # 3 V on C1 and 6 V on C2.
    parts = [{**part, "rated": "5 V"} if part["name"] in ("C1", "C2") else part for part in LANTERN["parts"]]
    question, *key = texts(pdf(client, sketch=LANTERN | {"parts": parts}))
    assert "Comes to" not in question
    assert "%" not in question
    for words in ("C1 5 V 60 % of 5 V", "C2 5 V 120 % of 5 V, (!) past its limit"):
        assert words in " ".join(key)


def test_words_of_the_teacher_are_words(client: FlaskClient) -> None:
    words = "<script>alert(1)</script> {{ 7 * 7 }} <img src=x> & more"
    written = " ".join(texts(pdf(client, title=words[:120], task=words, key=False)))
    assert written.count(words) == 2


def test_several_lines_of_the_task_are_paragraphs(client: FlaskClient) -> None:
    [question] = texts(pdf(client, task="a) The voltage.\n\nb) The charge.", key=False))
    assert "a) The voltage. b) The charge." in question


def test_the_pdf_is_tagged_and_has_its_title_and_language(client: FlaskClient) -> None:
    document = PdfReader(io.BytesIO(pdf(client)))
    catalogue: Any = document.trailer["/Root"]
    assert catalogue["/MarkInfo"]["/Marked"]
    assert catalogue["/Lang"] == "en"
    assert document.metadata is not None
    assert document.metadata.title == "Storm lantern"


def test_a_hostile_drawing_is_refused_wherever_it_stands(client: FlaskClient) -> None:
    hostile = drawing('<image href="file:///etc/passwd" width="9" height="9"/>')
    for place in ("question", "key", "tiles", "steps"):
        body = request_for()
        body["drawings"][place] = [hostile] if place in ("tiles", "steps") else hostile
        problem = assert_problem(client.post("/api/handout.pdf", json=body), 422, "request-not-understood")
        assert "of a drawing, there is no place in it for “image”" in problem["detail"]


def test_nothing_is_fetched_for_a_pdf() -> None:
    from app.typesetting import _refuse_to_fetch

    for address in ("http://127.0.0.1/", "file:///etc/passwd", "data:text/css,"):
        with pytest.raises(ValueError, match="nothing is fetched"):
            _refuse_to_fetch(address)


@pytest.mark.parametrize(
    "change",
    [
        {"paper": "a0"},
        {"lines": 1_000_000},
        {"lines": "8"},
        {"title": "x" * 121},
        {"task": "x" * 2001},
        {"room": "<b>"},
        {"more": True},
    ],
)
def test_options_that_there_are_not_are_refused(client: FlaskClient, change: dict[str, object]) -> None:
    body = request_for()
    body["options"] |= change
    assert_problem(client.post("/api/handout.pdf", json=body), 422, "request-not-understood")


def test_a_network_that_cannot_be_solved_has_no_handout(client: FlaskClient) -> None:
    body = request_for(LANTERN | {"parts": [{**LANTERN["parts"][0], "value": "9 kg"}]})
    assert_problem(client.post("/api/handout.pdf", json=body), 422, "value-not-understood")
    others: list[object] = [{}, [], 7, {"sketch": {}}]
    for other in others:
        assert_problem(client.post("/api/handout.pdf", json=other), 422, "request-not-understood")


def test_where_pdfs_can_be_made_the_page_is_told_so(client: FlaskClient) -> None:
    assert client.get("/api/paper").json == {"pdf": True, "reason": None}


@pytest.mark.parametrize("missing", [NO_PANGO, NO_WEASYPRINT], ids=["no Pango", "no WeasyPrint"])
def test_where_libraries_are_missing_everything_else_works_and_it_is_said(
    handicapped: SolverProcesses, tmp_path: Path, missing: str
) -> None:
    (tmp_path / "sitecustomize.py").write_text(missing)
    client = client_of(handicapped)
    told = client.get("/api/paper").json
    assert told is not None
    assert told["pdf"] is False
    assert "Printing works all the same" in told["reason"]
    problem = assert_problem(client.post("/api/handout.pdf", json=request_for()), 503, "no-pdf")
    assert problem["detail"] == told["reason"]
    assert client.post("/api/solve?with=tiles,steps,handout", json=LANTERN).status_code == 200
    assert client.post("/api/ledger.csv", json=LANTERN).status_code == 200
    assert client.post("/api/offline.html", json={"sketch": LANTERN}).status_code == 200


def test_a_pdf_in_the_making_stands_in_nobodys_way(
    solver_processes: SolverProcesses, handicapped: SolverProcesses, tmp_path: Path
) -> None:
    solver_processes.warm()
    assert client_of(handicapped).post("/api/solve", json=LANTERN).status_code == 200  # the quick lane runs
    mark = tmp_path / "begun"
    (tmp_path / "weasyprint.py").write_text(NEVER_READY.format(mark=str(mark)))
    client = client_of(handicapped)
    waiting = threading.Thread(target=lambda: client_of(handicapped).get("/api/paper"), daemon=True)
    waiting.start()
    give_up = time.monotonic() + START_SECONDS
    while not mark.exists():
        assert time.monotonic() < give_up
        time.sleep(0.01)
    assert client.post("/api/solve", json=LANTERN).status_code == 200
    assert client.post("/api/ledger.csv", json=LANTERN).status_code == 200
    assert waiting.is_alive()
    handicapped.close()
    waiting.join(20)
    assert not waiting.is_alive()
