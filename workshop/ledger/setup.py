"""Setting up an empty ledger: the one-time code from the terminal, the workshop, its owner."""

import hmac
import os
import secrets
from hashlib import scrypt
from pathlib import Path

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from workshop.ledger.models import Member, Shop
from workshop.ledger.people import member_add
from workshop.ledger.roles import OWNER
from workshop.ledger.services import record_add

ALPHABET = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"  # nothing that can be taken for something else
_CODE_FILE = "set-up-code"


def _hashed(code: str, salt: bytes) -> bytes:
    plain = "".join(c for c in code.upper() if c in ALPHABET)
    return scrypt(plain.encode(), salt=salt, n=2**14, r=8, p=1, dklen=32)


def code_make(folder: Path) -> str:
    """Make a new code and keep its hash; a code printed earlier no longer opens anything."""
    code = "".join(secrets.choice(ALPHABET) for _place in range(10))
    salt = secrets.token_bytes(16)
    path = folder / _CODE_FILE
    path.unlink(missing_ok=True)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(salt + _hashed(code, salt))
    return f"{code[:5]}-{code[5:]}"


def code_fits(folder: Path, code: str) -> bool:
    try:
        kept = (folder / _CODE_FILE).read_bytes()
    except FileNotFoundError:
        return False
    return hmac.compare_digest(kept[16:], _hashed(code, kept[:16]))


def code_spend(folder: Path) -> None:
    (folder / _CODE_FILE).unlink(missing_ok=True)


@transaction.atomic
def workshop_set_up(*, shop: Shop, by_name: str, username: str, password: str) -> Member:
    """Keep the workshop and its owner, both or neither; only an empty ledger is set up."""
    if Shop.objects.exists() or Member.objects.exists():
        raise ValidationError(_("This ledger is set up already. Sign in instead."), code="set_up")
    owner = member_add(by=None, username=username, name=by_name, role=OWNER, password=password)
    shop.pk = 1
    record_add(shop, by=owner, deed=_("set up"))
    return owner
