"""Heads of requests as browsers send them."""

from packets.loopback.admission import Admission, Enters, Head

PORT = 40123
HOST = ("host", f"127.0.0.1:{PORT}")
ORIGIN = ("origin", f"http://127.0.0.1:{PORT}")
JSON = ("content-type", "application/json")
TYPED = (("sec-fetch-site", "none"), ("sec-fetch-mode", "navigate"), ("sec-fetch-dest", "document"))
OWN = (("sec-fetch-site", "same-origin"), ("sec-fetch-mode", "cors"), ("sec-fetch-dest", "empty"))


def token_path(admission: Admission) -> str:
    return "/" + admission.address.rpartition("/")[2]


def entered(admission: Admission) -> tuple[str, tuple[str, str]]:
    """Room and cookie after the token was used."""
    answer = admission.judge(Head("GET", token_path(admission), (HOST, *TYPED)))
    assert isinstance(answer, Enters)
    return answer.room, ("cookie", answer.cookie.partition(";")[0])
