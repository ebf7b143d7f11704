"""The TOML files of the two client folders, and the README's list of what lies in them."""

from making.cases import JOINT, SINGLE
from making.figures import Figures
from making.numbers import (
    JOINT_ACCOUNT,
    SINGLE_SSN,
    TAXPAYER_IP_PIN,
    TAXPAYER_SSN,
)


def _figures(f: Figures) -> str:
    """The amounts of Form 8879, Part I, as a grant holds them."""
    return f"""
[grant.figures]              # what stood on Form 8879 when it was signed (Pub. 1345)
agi = {f.agi}
total_tax = {f.total_tax}
withholding = {f.withheld}
refund = {f.refund}
amount_owed = {f.owed}
"""


JOINT_ENGAGEMENT = """# An invented client. The numbers in this folder are nobody's.
[engagement]
id = "2025-0147"
tax_year = 2025
household = "Dorothea and Casimir Venn"
email = "venn.household@example.com"
presented_on = 2026-03-03
due_on = 2026-04-15
received_on = 2026-03-06

[[person]]
role = "taxpayer"
name = "Dorothea L Venn"

[[person]]
role = "spouse"
name = "Casimir J Venn"

[[person]]
role = "dependent"
name = "Odile P Venn"

[[person]]
role = "dependent"
name = "Tobias A Venn"

# A scanner gave this file its name, and receipts have no title to know them by.
[[document]]
file = "documents/scan-0012.tif"
pages = "1-2"
category = "receipt"

[[document]]
file = "documents/voided-check.pdf"
category = "bank-check"
"""

JOINT_IDENTIFIERS = f'''# Some of this household's numbers. The others stand behind labels in the
# documents (the spouse's, the children's, accounts, cards) and are learned there.
[[identifier]]
kind = "ssn"
value = "{TAXPAYER_SSN}"
holder = "taxpayer"

[[identifier]]
kind = "account"
value = "{JOINT_ACCOUNT}"
holder = "taxpayer"

[[identifier]]
kind = "ip-pin"
value = "{TAXPAYER_IP_PIN}"
holder = "taxpayer"
'''

JOINT_GRANTS = f"""# Who allowed which signature image on which papers, and until when.
# Real grants end with the season; these end far off, so that the folder can be built on any day.
[[grant]]
id = "2026-taxpayer-1"
role = "taxpayer"
image = "taxpayer.png"
given_at = 2026-03-03T10:15:00-05:00
how = "signature-pad"
covers = ["form-8879", "form-1040", "state-return", "consent-*", "engagement-letter"]
valid_until = 2099-12-31
identity_check = "photo ID seen"
recorded_by = "front desk"
{_figures(JOINT)}
[grant.evidence]
photo_id_seen = true

[[grant]]
id = "2026-spouse-1"
role = "spouse"
image = "spouse.png"
given_at = 2026-03-03T10:19:00-05:00
how = "signature-pad"
covers = ["form-8879", "form-1040", "state-return", "consent-*", "engagement-letter"]
valid_until = 2099-12-31
identity_check = "photo ID seen"
recorded_by = "front desk"
{_figures(JOINT)}
[grant.evidence]
photo_id_seen = true

# The electronic return originator may sign Form 8879 by such means (Notice 2007-79).
[[grant]]
id = "2026-ero-1"
role = "ero"
image = "ero.jpg"
given_at = 2026-01-05T09:00:00-05:00
how = "stamp"
covers = ["form-8879"]
valid_until = 2099-12-31
identity_check = "staff"
recorded_by = "H. Brandt"

[[grant]]
id = "2026-preparer-1"
role = "preparer"
image = "ero.jpg"
given_at = 2026-01-05T09:02:00-05:00
how = "stamp"
covers = ["form-1040"]
valid_until = 2099-12-31
identity_check = "staff"
recorded_by = "H. Brandt"

# Last year's. It has run out and must place nothing.
[[grant]]
id = "2025-taxpayer-1"
role = "taxpayer"
image = "taxpayer.png"
given_at = 2025-03-10T14:40:00-05:00
how = "signature-pad"
covers = ["form-8879", "engagement-letter"]
valid_until = 2025-10-15
identity_check = "photo ID seen"
recorded_by = "front desk"
"""

SINGLE_ENGAGEMENT = """# An invented client. The numbers in this folder are nobody's.
[engagement]
id = "2025-0152"
tax_year = 2025
household = "Leander Pell"
email = "leander.pell@example.com"
presented_on = 2026-02-20
due_on = 2026-04-15

[[person]]
role = "taxpayer"
name = "Leander M Pell"
"""

SINGLE_IDENTIFIERS = f'''[[identifier]]
kind = "ssn"
value = "{SINGLE_SSN}"
holder = "taxpayer"
'''

SINGLE_GRANTS = f"""[[grant]]
id = "2026-taxpayer-1"
role = "taxpayer"
image = "taxpayer.png"
given_at = 2026-02-20T16:05:00-05:00
how = "wet-ink-scan"
covers = ["form-8879", "form-1040"]
valid_until = 2099-12-31
identity_check = "known since 2019"
recorded_by = "front desk"
{_figures(SINGLE)}
[grant.evidence]
client_since = 2019

# The electronic return originator may sign Form 8879 by such means (Notice 2007-79).
[[grant]]
id = "2026-ero-1"
role = "ero"
image = "ero.jpg"
given_at = 2026-01-05T09:00:00-05:00
how = "stamp"
covers = ["form-8879"]
valid_until = 2099-12-31
identity_check = "staff"
recorded_by = "H. Brandt"

[[grant]]
id = "2026-preparer-1"
role = "preparer"
image = "ero.jpg"
given_at = 2026-01-05T09:02:00-05:00
how = "stamp"
covers = ["form-1040"]
valid_until = 2099-12-31
identity_check = "staff"
recorded_by = "H. Brandt"
"""
