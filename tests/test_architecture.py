"""The plan of the house holds: rooms import to their right, pure rooms stay pure, nobody writes round the ledger."""

import ast
import sys
from pathlib import Path

import pytest
from django.apps import apps

ROOT = Path(__file__).resolve().parents[1] / "workshop"
ROOMS = ["calc", "units", "ledger", "photos", "staves", "bows", "orders", "documents", "pages"]  # low to high
PURE = {
    "calc": {"numpy", "scipy"},
    "units": {"pint"},
    "documents/pdf": {"reportlab", "PIL", "segno"},
    "photos/images.py": {"PIL"},
}


def imported(path: Path):
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from (a.name for a in node.names)
        elif isinstance(node, ast.ImportFrom) and not node.level:
            yield from (f"{node.module}.{a.name}" for a in node.names)


def room(dotted: str) -> int:
    parts = dotted.split(".")
    return ROOMS.index(parts[1]) if parts[0] == "workshop" and len(parts) > 1 and parts[1] in ROOMS else -1


def python_files(*where: str):
    return [path for name in where for path in sorted((ROOT / name).rglob("*.py"))]


@pytest.mark.parametrize("name", ROOMS)
def test_a_room_imports_only_from_rooms_to_its_right(name):
    wrong = [(str(p), i) for p in python_files(name) for i in imported(p) if room(i) > ROOMS.index(name)]
    assert not wrong


def test_units_and_calc_do_not_know_each_other():
    assert not [i for p in python_files("calc") for i in imported(p) if i.startswith("workshop.units")]
    assert not [i for p in python_files("units") for i in imported(p) if i.startswith("workshop.calc")]


@pytest.mark.parametrize("where", PURE)
def test_pure_code_stays_pure(where):
    own = "workshop." + where.removesuffix(".py").replace("/", ".")
    paths = [ROOT / where] if where.endswith(".py") else sorted((ROOT / where).rglob("*.py"))
    assert paths, where
    for path in paths:
        outside = {i.split(".")[0] for i in imported(path) if not i.startswith(own)}
        assert outside <= PURE[where] | set(sys.stdlib_module_names), path


def test_foreign_keys_point_to_the_right():
    for model in (m for m in apps.get_models() if m.__module__.startswith("workshop.")):
        for field in (f for f in model._meta.get_fields() if f.many_to_one and f.concrete):
            assert room(field.related_model.__module__) <= room(model.__module__), field


def test_only_the_ledger_package_updates_or_deletes_rows():
    """`update`, `bulk_*` and `delete` called on something that may be a queryset, outside `workshop/ledger`."""
    forbidden = {"bulk_create", "bulk_update", "delete", "raw", "_raw_delete", "update_or_create"}
    wrong = []
    for path in python_files(*(r for r in ROOMS if r not in ("calc", "units", "ledger"))):
        if "migrations" in path.parts:
            continue
        for node in ast.walk(ast.parse(path.read_text())):
            if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)):
                continue
            name, on = node.func.attr, ast.unparse(node.func.value)
            if (
                name in forbidden
                or (name == "update" and (".objects" in on or ".filter(" in on))
                or (name == "save" and "super()" not in on)
            ):
                wrong.append(f"{path.relative_to(ROOT)}:{node.lineno} {on}.{name}")
    allowed = {w for w in wrong if w.startswith(("documents/pdf/", "photos/images.py", "photos/sketches.py"))}
    assert not set(wrong) - allowed


def test_every_file_reads_at_a_sitting():
    long = [
        f"{p.relative_to(ROOT)}: {n}"
        for p in python_files(*ROOMS)
        if "migrations" not in p.parts and (n := len(p.read_text().splitlines())) > 350
    ]
    assert not long


def test_every_model_has_a_room():
    assert {m._meta.app_label for m in apps.get_models() if m.__module__.startswith("workshop.")} <= set(
        ROOMS
    )


def test_every_address_has_a_name_of_its_own():
    from django.urls import get_resolver

    def names(patterns):
        for pattern in patterns:
            if hasattr(pattern, "url_patterns"):
                yield from names(pattern.url_patterns)
            else:
                yield pattern.name

    found = list(names(get_resolver().url_patterns))
    assert None not in found
    assert sorted(found) == sorted(set(found))


def test_no_template_lies_about_unused():
    """Every template is rendered by a view, extended or included."""
    templates = ROOT.parent / "templates"
    code = "\n".join(p.read_text() for p in ROOT.rglob("*.py")) + "\n".join(
        p.read_text() for p in templates.rglob("*.html")
    )
    idle = [
        str(p.relative_to(templates))
        for p in templates.rglob("*.html")
        if f'"{p.relative_to(templates)}' not in code and f"'{p.relative_to(templates)}" not in code
    ]
    assert not idle
