"""A ledger that is kept already gets the published class rules; a new one is given them when it is set up."""

from django.db import migrations
from django.utils import timezone

from workshop.bows.services.classrules import published_values
from workshop.calc.classrules import RULES


def put_rules(apps, schema_editor):
    using = schema_editor.connection.alias
    if not apps.get_model("ledger", "Shop").objects.using(using).exists():
        return
    ClassRule, Change = apps.get_model("bows", "ClassRule"), apps.get_model("ledger", "Change")
    for rule in RULES.values():
        made = ClassRule.objects.using(using).create(**published_values(rule))
        Change.objects.using(using).create(
            record="bows.classrule", record_id=made.pk, version=1, at=timezone.now(),
            deed="taken from the published rules",
        )  # fmt: skip


class Migration(migrations.Migration):
    dependencies = [("bows", "0006_class_rules"), ("ledger", "0002_sent_form")]

    operations = [migrations.RunPython(put_rules, migrations.RunPython.noop, elidable=False)]
