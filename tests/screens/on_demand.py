"""Pictures are put together when a test asks for one: there is no terminal that they would go to.

Imported by tests/screens/driving.py.
"""

from __future__ import annotations

from typing import Any

from textual._compositor import Compositor


def draw_on_demand() -> None:
    """From now on the programs of this process note what changed on the screen and draw nothing.

    An export to SVG is of the ``full`` picture, and drawn all the same.
    """
    draw = Compositor.render_update

    def noted(self: Compositor, *args: Any, full: bool = False, **more: Any) -> Any:
        if full:
            return draw(self, *args, full=full, **more)
        self._dirty_regions.clear()
        return None

    Compositor.render_update = noted  # type: ignore[method-assign]
