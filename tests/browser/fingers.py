"""The page under fingers: the verbs of `SheetPage` by touch, and two fingers at once."""

from __future__ import annotations

from playwright.sync_api import Page

from tests.browser.sheet_page import FRAMES, SheetPage, Spot

Point = tuple[float, float]


class TouchedPage(SheetPage):
    """A tab on a device without a mouse."""

    def __init__(self, page: Page) -> None:
        super().__init__(page)
        self._device = page.context.new_cdp_session(page)

    def _touch(self, kind: str, *points: Point) -> None:
        touches = [{"x": x, "y": y, "id": index} for index, (x, y) in enumerate(points)]
        self._device.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": touches})

    def swipe(self, *path: Point) -> None:
        """One finger, down at the first point, up at the last."""
        self._touch("touchStart", path[0])
        for (ax, ay), (bx, by) in zip(path, path[1:], strict=False):
            for frame in range(1, FRAMES + 1):
                self._touch("touchMove", (ax + (bx - ax) * frame / FRAMES, ay + (by - ay) * frame / FRAMES))
        self._touch("touchEnd")

    def two_fingers(self, start: tuple[Point, Point], end: tuple[Point, Point]) -> None:
        """Two fingers down together, moved together, up together."""
        self._touch("touchStart", start[0])
        self._touch("touchStart", *start)
        for frame in range(1, FRAMES + 1):
            share = frame / FRAMES
            self._touch(
                "touchMove",
                *[
                    (ax + (bx - ax) * share, ay + (by - ay) * share)
                    for (ax, ay), (bx, by) in zip(start, end, strict=True)
                ],
            )
        self._touch("touchEnd")

    def drag(self, start: Spot, end: Spot, *, shift: bool = False, button: str = "left", by: tuple[Spot, ...] = ()) -> None:
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
