"""Values that cannot print themselves: taxpayer numbers and passphrases."""

import hmac
from typing import NoReturn


class Secret:
    """A text that shows itself only through `reveal`.

    `str`, `repr`, `format`, `%` and tracebacks with local variables show three
    stars. It cannot be pickled or copied into JSON by accident. Equality is in
    constant time.
    """

    __slots__ = ("__text",)

    def __init__(self, text: str) -> None:
        self.__text = text

    def reveal(self) -> str:
        """Return the text itself. Never hand the result to a log, message or file name."""
        return self.__text

    def __repr__(self) -> str:
        return "Secret(***)"

    def __str__(self) -> str:
        return "***"

    def __format__(self, spec: str) -> str:
        return "***"

    def __len__(self) -> int:
        return len(self.__text)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Secret):
            return NotImplemented
        return hmac.compare_digest(
            self.__text.encode("utf-8", "surrogatepass"),
            other.__text.encode("utf-8", "surrogatepass"),
        )

    def __hash__(self) -> int:
        return hash(("packets.Secret", self.__text))

    def __reduce__(self) -> NoReturn:
        raise TypeError("a secret does not leave its process")
