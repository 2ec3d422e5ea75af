"""Opens pages below one address in a real browser and keeps every fault it sees."""

from __future__ import annotations

import re
import time
from typing import Any

HARMLESS = ("data:", "blob:", "about:")
PATIENCE = 10.0
"""Seconds until a fault that must come is given up. A page tells it in milliseconds."""
VIOLATIONS = """
document.addEventListener("securitypolicyviolation", (event) =>
  console.error("policy: " + event.violatedDirective + " " + event.blockedURI));
"""


class Opener:
    """Call it with an address below `base`; `faults` holds what went wrong since `forget`.

    One serves many tests, for a browser takes most of a second to make a window and a process for
    its pages: both stay, while every test gets new documents and an empty storage. A test that
    changes a window in a way that outlives its document closes it.
    """

    def __init__(self, browser: Any, base: str) -> None:
        self._browser, self.base = browser, base
        self._contexts: dict[str, Any] = {}
        self._free: dict[str, list[Any]] = {}
        self._address = ""
        self.faults: list[str] = []

    def __call__(self, address: str = "index.html", **options: Any) -> Any:
        """A page, loaded. `options` go to the browser context (viewport, color_scheme …)."""
        options = {"viewport": {"width": 1200, "height": 800}, **options}
        key = repr(sorted(options.items()))
        if key not in self._contexts:
            self._contexts[key] = self._context(options)
        free = self._free.get(key)
        return self.turn(free.pop() if free else self._contexts[key].new_page(), address)

    def turn(self, page: Any, address: str) -> Any:
        """The same window with another page, loaded."""
        self._address = address
        if page.url != "about:blank":  # else an address that differs in its fragment loads nothing
            page.goto("about:blank")
        page.goto(self.base + address, wait_until="load")
        return page

    def _context(self, options: dict[str, Any]) -> Any:
        """Pages of one context share what the browser stores."""
        context = self._browser.new_context(**options)
        context.add_init_script(VIOLATIONS)
        own = "|".join(map(re.escape, (self.base, *HARMLESS)))
        context.route(re.compile(f"^(?!{own})"), lambda route: route.abort())
        context.on("request", lambda request: self._asked(request.url))
        context.on("console", self._said)
        context.on("weberror", lambda error: self._fault(f"script error: {error.error}"))
        return context

    def _fault(self, what: str) -> None:
        self.faults.append(f"{self._address}: {what}")

    def _asked(self, url: str) -> None:
        if not url.startswith((self.base, *HARMLESS)):
            self._fault(f"request to {url}")

    def _said(self, message: Any) -> None:
        if message.type == "error":
            self._fault(f"console: {message.text}")

    def told(self, page: Any, what: str) -> bool:
        """Whether a fault that holds these words comes before patience ends."""
        ends = time.monotonic() + PATIENCE
        while not any(what in fault for fault in self.faults):
            if time.monotonic() > ends:
                return False
            page.wait_for_timeout(10)
        return True

    def afresh(self) -> None:
        """Leave every page and empty what they stored, as if the browser had just been opened."""
        for key, context in self._contexts.items():
            used = [page for page in context.pages if page not in self._free.get(key, [])]
            for page in used:
                self._empty(page)
            if used:
                context.clear_cookies()
            self._free[key] = context.pages

    def _empty(self, page: Any) -> None:
        if page.url.startswith(self.base):
            page.evaluate("localStorage.clear(); sessionStorage.clear()")
        page.emulate_media(media="null")
        page.mouse.move(-1, -1)
        page.goto("about:blank")

    def forget(self) -> list[str]:
        """`afresh`; gives the faults seen until then and begins to count anew."""
        self.afresh()
        seen, self.faults = self.faults, []
        return seen

    def close(self) -> None:
        """Close everything."""
        for context in self._contexts.values():
            context.close()
        self._contexts.clear()
