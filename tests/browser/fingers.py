"""The page under fingers: the verbs of `SheetPage` by touch, and two fingers at once."""

from __future__ import annotations

import time
from itertools import pairwise

from playwright.sync_api import Page

from tests.browser.sheet_page import FRAMES, SheetPage, Spot

Point = tuple[float, float]

PACE = 0.1  # seconds from one moment of a touch to the next


def between(start: Point, end: Point) -> list[Point]:
    """Points on the way from `start`, `end` the last of them."""
    shares = [frame / FRAMES for frame in range(1, FRAMES + 1)]
    return [(start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share) for share in shares]


class TouchedPage(SheetPage):
    """A tab on a device without a mouse."""

    def __init__(self, page: Page) -> None:
        super().__init__(page)
        self._device = page.context.new_cdp_session(page)

    def _touches(self, *moments: tuple[Point, ...]) -> None:
        """Fingers down at the first moment, up after the last; slow enough that nobody takes it for a fling."""
        start = time.time() - PACE * (len(moments) + 2)
        for index, points in enumerate((*moments, moments[-1])):
            touches = [{"x": x, "y": y, "id": finger} for finger, (x, y) in enumerate(points)]
            kind = "touchMove" if index else "touchStart"
            self._send(kind, touches, start + PACE * index)
        self._send("touchEnd", [], time.time())

    def _send(self, kind: str, touches: list[dict[str, float]], when: float) -> None:
        self._device.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": touches, "timestamp": when})

    def swipe(self, *path: Point) -> None:
        """One finger, down at the first point, up at the last."""
        self._touches((path[0],), *[(point,) for start, end in pairwise(path) for point in between(start, end)])

    def two_fingers(self, start: tuple[Point, Point], end: tuple[Point, Point]) -> None:
        """Two fingers down together, moved together, up together."""
        one, other = (between(*way) for way in zip(start, end, strict=True))
        self._touches(start, *zip(one, other, strict=True))

    def drag(
        self, start: Spot, end: Spot, *, shift: bool = False, button: str = "left", by: tuple[Spot, ...] = ()
    ) -> None:
        assert not shift
        assert button == "left"
        view = self.view()
        self.swipe(*[view.pixels(spot) for spot in (start, *by, end)])

    def press_at(self, point: Point, *, shift: bool = False) -> None:
        assert not shift
        self.page.touchscreen.tap(*point)

    def answer(self, text: str) -> None:
        """Type, then tap the button that stands for Enter."""
        self.field.fill(text)
        self.page.get_by_role("button", name="Enter", exact=True).tap()
        self.field.wait_for(state="detached")
        self.settled()
