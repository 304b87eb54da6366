"""What may come on the addresses that take photographs, and where each form leads back to."""

import re

from service.actions.photographs import PHOTOGRAPH_LIMIT_BYTES

UPLOAD_PATHS = re.compile(r"(/api/v1)?/overhauls/[^/]{1,60}/photographs")
UPLOAD_LIMIT_BYTES = PHOTOGRAPH_LIMIT_BYTES + 20_000
"""One photograph, and what a form wraps around it."""

BACK = {
    "overview": "#photographs",
    "examination": "/examination/{subject}#photographs",
    "after-rework": "/examination/{subject}?phase=after-rework#photographs",
}
"""Where a form of that name leads back to, within the overhaul."""
