"""A drawn demo: a lot of invented cards, the checklists of their sets, and the truth about them."""

from tagger.demo.drawing import DemoPlace, draw_demo
from tagger.demo.sets.checklists import checklist_files

__all__ = ["DemoPlace", "checklist_files", "draw_demo"]
