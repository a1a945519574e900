"""Links start with what the server was told, and the QR code holds the view link and nothing secret."""

from __future__ import annotations

import json
import re
from xml.etree import ElementTree

import pytest
import segno
from flask.testing import FlaskClient

from app import create_app
from app.config import IN_MEMORY, Config
from app.links import qr_svg
from app.solver_process import SolverProcesses
from tests.app.calls import LANTERN, keep

PUBLIC = "https://school.example/sketches"


@pytest.fixture
def behind_proxy(solver_processes: SolverProcesses):
    application = create_app(Config(IN_MEMORY, PUBLIC), solver_processes)
    yield application.test_client()
    application.extensions["store"].close()


def test_links_start_with_the_public_address_whatever_a_request_claims(behind_proxy: FlaskClient):
    lies = {"Host": "elsewhere.example", "X-Forwarded-Host": "elsewhere.example", "X-Forwarded-Proto": "gopher"}
    links = behind_proxy.post("/api/sketches", json=LANTERN, headers=lies).json["links"]
    assert links["view"].startswith(PUBLIC + "/s/")
    assert links["edit"].startswith(links["view"] + "#key=")


@pytest.mark.parametrize("prefix", ["", "/sketches"])
def test_a_proxy_may_strip_its_path_or_leave_it(behind_proxy: FlaskClient, prefix: str):
    page = behind_proxy.get(prefix + "/")
    assert page.status_code == 200
    data = json.loads(re.search(r'id="page">(.*?)</script>', page.text).group(1))
    assert data["urls"]["solve"] == "/sketches/api/solve"
    assert 'src="/sketches/static/' in page.text
    assert behind_proxy.post(prefix + "/api/solve", json=LANTERN).status_code == 200


def test_forwarded_headers_are_not_believed(client: FlaskClient):
    lies = {"X-Forwarded-Host": "elsewhere.example", "X-Forwarded-Proto": "https", "X-Forwarded-Prefix": "/x"}
    links = client.post("/api/sketches", json=LANTERN, headers=lies).json["links"]
    assert links["view"].startswith("http://localhost/s/")


@pytest.mark.parametrize(
    "address", ["school.example", "ftp://school.example", "https://", "https://x.example/?q", "/x"]
)
def test_what_is_no_public_address_is_refused(address: str):
    with pytest.raises(ValueError, match="A public address looks like"):
        Config(IN_MEMORY, address)


def test_the_environment_can_say_what_the_command_line_says():
    said = {"FARANDOLE_DATABASE": "postgresql://db/x", "FARANDOLE_PUBLIC_ADDRESS": PUBLIC + "/"}
    assert Config.from_environment(said) == Config("postgresql://db/x", PUBLIC)


def test_the_qr_code_is_the_view_link_as_a_drawing_without_a_fixed_size(client: FlaskClient):
    kept = keep(client)
    response = client.get(f"{kept.path}/qr.svg")
    assert response.mimetype == "image/svg+xml"
    drawing = ElementTree.fromstring(response.data)
    assert "viewBox" in drawing.attrib
    assert "width" not in drawing.attrib
    assert response.data == qr_svg(f"http://localhost/s/{kept.id}")
    assert kept.key not in response.text
    # Level M, so that a quarter of the words may be misread by a phone at the back (ISO/IEC 18004: 15 % of them).
    assert segno.make(f"http://localhost/s/{kept.id}", error="m", micro=False).error in ("M", "Q", "H")
