"""Migration states: what is applied, what is pending, what is from the future, and the models of a state."""

from collections.abc import Iterable

from django.apps import apps
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader

from workshop.folder import Refused

Step = tuple[str, str]  # (app label, migration name)


def own_labels() -> set[str]:
    """The rooms whose rows a backup holds; sessions, lock-outs and the framework's lists are made anew."""
    return {config.label for config in apps.get_app_configs() if config.name.startswith("workshop.")}


def refuse_future(steps: Iterable[Step], loader: MigrationLoader, what: str) -> None:
    unknown = sorted(set(steps) - set(loader.disk_migrations))
    if unknown:
        app, name = unknown[0]
        raise Refused(f"{what} was written by a newer program (step {app} {name}); update this one first.")


def pending(connection) -> list[Step]:
    """The steps the database still lacks; a database from the future is refused."""
    executor = MigrationExecutor(connection)
    refuse_future(executor.loader.applied_migrations, executor.loader, "The database")
    plan = executor.migration_plan(executor.loader.graph.leaf_nodes())
    return [(step.app_label, step.name) for step, _back in plan]


def applied(connection) -> list[Step]:
    """The steps of the ledger's own rooms that the database has."""
    return sorted(s for s in MigrationLoader(connection).applied_migrations if s[0] in own_labels())


def models_of(steps: Iterable[Step], connection) -> list[type]:
    """The models as they were once `steps` were taken, in order of their tables."""
    loader = MigrationLoader(connection)
    state = loader.project_state(list(steps))
    own = own_labels()
    models = state.apps.get_models(include_auto_created=True)
    return sorted((m for m in models if m._meta.app_label in own), key=lambda m: m._meta.db_table)


def last_steps(steps: Iterable[Step], loader: MigrationLoader) -> list[Step]:
    """Of each room the step no other step of that room follows: what to migrate to."""
    steps = set(steps)
    nodes = loader.graph.node_map
    return sorted(s for s in steps if not any(c.key in steps and c.key[0] == s[0] for c in nodes[s].children))
