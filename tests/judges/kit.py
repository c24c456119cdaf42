"""What a judge must know of the kit's own folder: its drawing, which layers are printed, which fonts it may use.

The manifest is read by PyYAML, not by the tool's reader.
"""

import functools
import json
import pathlib
import subprocess

import yaml

from common import HERE
from drawing import Drawing
from size_lines import SizeLines
from words import Font


class Kit:
    """A kit's folder; with a package made from it, `printed` has the lines that the kit wants, and `lines` tells of them."""

    def __init__(self, folder, package=None):
        self.folder = pathlib.Path(folder)
        self.manifest = self._manifest()
        about = self.manifest["drawing"]
        self.drawing_file = self.folder / about["file"]
        self.size_layers = {str(s["name"]): str(s["layer"]) for s in self.manifest.get("sizes", [])}
        self.never = [str(name) for name in self.manifest.get("never-printed", [])]
        self.base = [str(name) for name in self.manifest["base-layers"]] if "base-layers" in self.manifest else None
        named = [*self.size_layers.values(), *self.never, *(self.base or [])]
        self.fonts = self._fonts()
        self.drawing = Drawing(self.drawing_file, named, about.get("units-per-inch"), self.fonts)
        self.printed = [p for p in self.drawing.painted if self.is_printed(p.layer)]
        if package:
            self.lines = SizeLines(self, package)
            self.printed = self.lines.restyled(self.printed)

    def _manifest(self):
        found = [yaml.safe_load(path.read_text("utf-8-sig")) for path in sorted(self.folder.glob("*.yaml"))]
        main = next(m for m in found if isinstance(m, dict) and "drawing" in m)
        shared = yaml.safe_load((self.folder / main["shared"]).read_text("utf-8-sig")) if "shared" in main else {}
        return {**shared, **main}

    def border(self, paper):
        """Paper around the tiles in mm, on which the drawing runs on: docs/manifest.md says 3 mm for home papers, none for wide ones
        but those in lapped parts."""
        own = [p for p in self.manifest["papers"] if isinstance(p, dict) and p["paper"] == paper["paper"]]
        lapped = self.manifest.get("joins") == "lapped" and len(paper["sheets"]) > 1
        home = self.manifest.get("border", "3 mm") if paper["press"] == "home" or lapped else "0 mm"
        number, unit = str(own[0].get("border", home) if own else home).split()
        return float(number) * {"mm": 1, "cm": 10, "in": 25.4}[unit]

    def _fonts(self):
        named = [font["file"] if isinstance(font, dict) else font for font in self.manifest.get("fonts", [])]
        own = [self.folder / name for name in named if (self.folder / name).exists()]
        return [Font(path) for path in [*built_in_fonts(), *own]]

    def is_printed(self, layer):
        """Whether the manifest has a layer printed: by default all that no other list names."""
        if layer in self.size_layers.values():
            return True
        return layer not in self.never and (self.base is None or layer in self.base)

    def layers(self):
        """Names of printed layers that hold any ink."""
        return sorted({p.layer for p in self.printed})


@functools.cache
def built_in_fonts():
    """The font files of the crate `notosans`, the Regular first."""
    host = _said("rustc", "-vV").split("host: ")[1].split()[0]
    packages = json.loads(_said("cargo", "metadata", "--format-version", "1", "--offline", "--filter-platform", host))["packages"]
    crate = next(pathlib.Path(p["manifest_path"]).parent for p in packages if p["name"] == "notosans")
    return sorted((crate / "fonts").glob("*.ttf"), key=lambda path: "Regular" not in path.name)


def _said(*command):
    """What a command prints, run in the project's folder."""
    return subprocess.run(command, capture_output=True, check=True, text=True, cwd=HERE).stdout
