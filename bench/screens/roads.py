"""Every screen that a key leads to: loaded once the first picture stands, so that no key waits."""

from bench.screens import (  # noqa: F401
    far,
    flows,
    helper,
    last,
    mix,
    painters,
    palette,
    paper,
    shared,
    shopmatters,
    stand,
)
