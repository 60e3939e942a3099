"""Every write of the catalog."""

from gowngroup.catalog.actions.charts import (
    ChartCannotBeWorked,
    ChartNameTaken,
    RowEntry,
    add_chart,
    change_chart,
)
from gowngroup.catalog.actions.designs import (
    DesignNameTaken,
    ImpossibleDesign,
    ImpossiblePiece,
    PieceEntry,
    RevisionDetails,
    SizeEntry,
    UnsafeClosure,
    add_design,
    change_design,
    change_revision,
    set_design_sizes,
    set_pieces,
)
from gowngroup.catalog.actions.needs import DRAFT_EDGES, ImpossibleNeed, NeedEntry, set_needs
from gowngroup.catalog.actions.outlines import OutlineEntry, set_outlines
from gowngroup.catalog.actions.overrides import DoesNotClose, set_overrides
from gowngroup.catalog.actions.pleaters import (
    ImplausiblePleater,
    PleaterNameTaken,
    add_pleater,
    calibrate_pleater,
    change_pleater,
    use_pleater,
)
from gowngroup.catalog.actions.revisions import DesignMovedOn, mark_revision_used
from gowngroup.catalog.actions.sizes import ImpossibleSize, SizesOverlap, add_size, change_size
from gowngroup.catalog.actions.starting import CatalogNotEmpty, start_catalog

__all__ = [
    "DRAFT_EDGES",
    "CatalogNotEmpty",
    "ChartCannotBeWorked",
    "ChartNameTaken",
    "DesignMovedOn",
    "DesignNameTaken",
    "DoesNotClose",
    "ImplausiblePleater",
    "ImpossibleDesign",
    "ImpossibleNeed",
    "ImpossiblePiece",
    "ImpossibleSize",
    "NeedEntry",
    "OutlineEntry",
    "PieceEntry",
    "PleaterNameTaken",
    "RevisionDetails",
    "RowEntry",
    "SizeEntry",
    "SizesOverlap",
    "UnsafeClosure",
    "add_chart",
    "add_design",
    "add_pleater",
    "add_size",
    "calibrate_pleater",
    "change_chart",
    "change_design",
    "change_pleater",
    "change_revision",
    "change_size",
    "mark_revision_used",
    "set_design_sizes",
    "set_needs",
    "set_outlines",
    "set_overrides",
    "set_pieces",
    "start_catalog",
    "use_pleater",
]
