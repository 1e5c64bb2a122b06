"""The demo's tour in a browser: nothing serious for axe, every door large enough to touch."""

import pytest

from countermove.catalogue import load_catalogue
from countermove.clinic.work.club import bring_in
from countermove.club import CLUB_NAME

TOUCH_PX = 44  # WCAG 2.2, 2.5.5: 44 by 44 CSS pixels


@pytest.mark.urls("countermove.clinic.work.tour_urls")
def test_the_tour_is_read_and_touched_on_any_screen(page, site, ada, sign_in, serious):
    site.name = CLUB_NAME
    site.save()
    for key in ("juno-breakwater", "kasimir-mooring"):
        bring_in(key, site, ada, load_catalogue())
    sign_in(ada)
    page.goto("/tour/")
    assert serious(page) == []
    doors = page.locator(".stops a, .stories a")
    boxes = [door.bounding_box() for door in doors.all()]
    assert len(boxes) == 10
    assert all(box["height"] >= TOUCH_PX for box in boxes)
    assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0
    page.get_by_role("link", name="Juno Breakwater").first.click()
    assert page.locator("h1").inner_text() == "Juno Breakwater"
