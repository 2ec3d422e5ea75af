"""The MkDocs plugin: hooks, each of which calls one thing. Nothing else here knows the host.

In: the host's configuration, files and events. Out: the record pages in the host's site, the theme
dressed alike, and a build that stops with every error of the records listed and the last site
untouched. Whatever is not about MkDocs lives in `pages`. Imports are late: MkDocs loads this module
for every command.
"""

from __future__ import annotations

import functools
import gc
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any, Literal, ParamSpec, TypeVar

from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import BuildError, PluginError
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files

from . import __version__
from .day import NoDay

if TYPE_CHECKING:
    from collections.abc import Callable

    import jinja2
    from mkdocs.utils.templates import TemplateContext

    from .pages.gather import Gathered
    from .pages.links import Writer
    from .pages.page import Site
    from .pages.shell import Frame

log = get_plugin_logger(__name__)
HERE = Path(__file__).parent
AS_IT_WAS = gc.get_threshold()
RARELY = (200_000, 20, 100)
P = ParamSpec("P")
R = TypeVar("R")


class ClearoverConfig(Config):  # type: ignore[no-untyped-call]  # the host's own
    """What may stand under `clearover:` in `mkdocs.yml`; both folders are beside that file."""

    combos = config_options.Type(str, default="combos")
    cache = config_options.Type(str, default=".cache/clearover")


def _own_fault(hook: Callable[P, R]) -> Callable[P, R]:
    """Say so when something of ours breaks: a stack trace is never the fault of a record."""

    @functools.wraps(hook)
    def guarded(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return hook(*args, **kwargs)
        except BuildError:
            raise
        except Exception:
            log.error("This is a fault in Clearover, not in a record. Please report what follows.")
            raise

    return guarded


class ClearoverPlugin(BasePlugin[ClearoverConfig]):  # type: ignore[no-untyped-call]
    """Hooks only. `site`, `frame` and `writer` live from one hook to the next of one build."""

    command: str = "build"
    dirty: bool = False
    site: Site | None = None
    frame: Frame
    writer: Writer
    addresses: list[str]
    host: MkDocsConfig | None = None
    final: Path | None = None
    ready: bool = False

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Remember the command; this hook also keeps the instance while serving."""
        self.command, self.dirty = command, dirty
        # A build makes many values and few circles of them: looking for those took a seventh of it.
        gc.set_threshold(*RARELY)

    @event_priority(-100)
    @_own_fault
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read and check before anything is written, then send the build beside the site."""
        self.ready, self.addresses = False, []
        combos, cache = (_beside(config, name) for name in (self.config.combos, self.config.cache))
        _prepare(config, combos)
        gathered = _gather(combos, cache)
        self.site = _accept(gathered, self.site if self.command == "serve" else None)
        self.frame = _frame(config, self.site, gathered, serving=self.command == "serve")
        self._redirect(config)
        return config

    @event_priority(-100)
    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add styles and scripts, and what guide pages may link to; drop what is never used."""
        assert self.site is not None
        return _files(files, config, self.site)

    @event_priority(-100)
    @_own_fault
    def on_env(
        self, env: jinja2.Environment, *, config: MkDocsConfig, files: Files
    ) -> jinja2.Environment:
        """Stamp the record pages, now that the site's folder is clean; dress the theme."""
        from .pages.site import write_site

        assert self.site is not None
        self.addresses = write_site(self.site, self.frame, self.writer)
        env.globals["clearover"] = self.frame
        for file in files.documentation_pages():
            if file.page and self.frame.newest:
                file.page.update_date = self.frame.newest.isoformat()
        return env

    def on_template_context(
        self, context: TemplateContext, *, template_name: str, config: MkDocsConfig
    ) -> TemplateContext:
        """Name the stamped pages in the sitemap."""
        if template_name == "sitemap.xml" and config.site_url:
            stamped = [_entry(self.frame, address) for address in self.addresses]
            pages: list[Any] = [*context["pages"], *stamped]
            context["pages"] = pages
        return context

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """The site is whole; whether it may be published, a strict build decides after this."""
        self.ready = True

    def on_build_error(self, *, error: Exception) -> None:
        """Keep the last site."""
        self.ready = False

    def on_shutdown(self) -> None:
        """Put the new site in the place of the old one, or throw it away."""
        gc.set_threshold(*AS_IT_WAS)
        if self.host is None or self.final is None:
            return
        from .pages.site import prune_cache
        from .pages.swap import discard, publish

        building = Path(self.host.site_dir)
        if self.ready:
            publish(building, self.final, self.writer.written)
            if self.site is not None:
                prune_cache(self.site)
        discard(building)
        self.host.site_dir, self.host, self.final = str(self.final), None, None

    def _redirect(self, config: MkDocsConfig) -> None:
        from .pages.links import Writer
        from .pages.swap import beside

        self.writer = Writer(Path(config.site_dir))
        if self.command == "serve" or self.dirty:
            return  # serving has a folder of its own; a dirty build writes into the site
        self.host, self.final = config, Path(config.site_dir)
        config.site_dir = str(beside(self.final))
        old = self.final if self.final.is_dir() else None
        self.writer = Writer(Path(config.site_dir), old)


class _Stamped(File):
    """A page that exists for the host's link check only: it is written by stamping."""

    def copy_file(self, dirty: bool = False) -> None:
        """Nothing to copy."""


def _beside(config: MkDocsConfig, name: str) -> Path:
    return Path(config.config_file_path or "mkdocs.yml").parent / name


def _prepare(config: MkDocsConfig, combos: Path) -> None:
    """Settings without which the site would not work from a stick, and the look."""
    if config.theme.name != "material":
        raise PluginError(
            f"the theme is {config.theme.name!r}; guide pages are made for another\n"
            "    fix: write `theme: {name: material, font: false}` in mkdocs.yml"
        )
    config.use_directory_urls = False
    features = config.theme.get("features") or []  # these two would ask for files by script
    config.theme["features"] = [
        name for name in features if not name.startswith(("navigation.instant", "search."))
    ]
    config.mdx_configs.setdefault("tables", {})["use_align_attribute"] = True
    overrides = str(HERE / "pages/templates/overrides")
    if overrides not in config.theme.dirs:
        own = 1 if config.theme.custom_dir else 0
        config.theme.dirs.insert(own, overrides)
    config.watch.append(str(combos))


def _gather(combos: Path, cache: Path) -> Gathered:
    from .pages.gather import gather

    if not combos.is_dir():
        raise PluginError(
            f"{combos}: no such folder\n    fix: run mkdocs where mkdocs.yml and the records lie, "
            "or name the folder under `clearover: combos:` in mkdocs.yml"
        )
    try:
        return gather(combos, cache)
    except NoDay as error:
        raise PluginError(str(error)) from None


def _accept(gathered: Gathered, last_good: Site | None) -> Site:
    """The site to build from; all errors as one host error unless there is a last good one."""
    for warning in gathered.warnings:
        log.info("warning: %s", warning)
    if gathered.site is not None:
        return gathered.site
    text = _listed(gathered)
    if last_good is None:
        raise PluginError(text)
    log.error(text)
    return last_good


def _listed(gathered: Gathered) -> str:
    errors = gathered.errors
    files = len({error.place.file for error in errors})
    count = f"{len(errors)} {'error' if len(errors) == 1 else 'errors'}"
    where = f"{files} {'file' if files == 1 else 'files'}"
    lines = "\n".join(str(error) for error in errors)
    return (
        f"{count} in {where}:\n{lines}\nNothing was built. A site that was there stays as it was."
    )


def _frame(config: MkDocsConfig, site: Site, gathered: Gathered, *, serving: bool) -> Frame:
    from .pages.asset_files import EVERYWHERE, styles
    from .pages.shell import Frame, newest_day

    studio = site.catalogue.studio
    return Frame(
        site_name=config.site_name or studio.name,
        version=__version__,
        newest=newest_day(site),
        tiles=len(site.catalogue.tiles),
        wrong_verdict=studio.wrong_verdict,
        site_url=config.site_url or "",
        styles=styles(),
        scripts=EVERYWHERE,
        strict=not serving,
        problems=tuple(map(str, gathered.errors)) if serving else (),
    )


def _files(files: Files, config: MkDocsConfig, site: Site) -> Files:
    from .pages.asset_files import assets
    from .pages.site import known_addresses

    for file in list(files):
        if file.src_uri.startswith(("assets/javascripts/lunr/", "assets/javascripts/workers/")):
            files.remove(file)  # the theme's search, which this site does not use
    for address, path in assets():
        files.append(File.generated(config, address, abs_src_path=str(path)))
    taken = {file.dest_uri for file in files}
    for address in known_addresses(site):
        if address not in taken:
            files.append(_Stamped.generated(config, address, content=""))
    return files


def _entry(frame: Frame, address: str) -> SimpleNamespace:
    page = SimpleNamespace(
        is_link=False,
        abs_url=None,
        canonical_url=frame.site_url + address,
        update_date=frame.newest.isoformat() if frame.newest else None,
    )
    return SimpleNamespace(page=page)
