"""What a person is asked before a packet goes: the address, and whether it goes again.

A packet in the wrong mailbox is a disclosure (IRC 7216; 26 CFR 301.7216-1): so a
packet is bound to one address, and whatever differs from that is asked.
"""

from collections.abc import Iterator, Sequence

from packets.base.errors import UsageError
from packets.mailing.addresses import one_address, same_address
from packets.mailing.records import Asks, MailOrder, Question, Sending
from packets.mailing.sendings import in_words


def recipients(order: MailOrder, of_engagement: str) -> tuple[str, ...]:
    """The addresses, each once. Raises `UsageError` where there is none or one is wrong."""
    if order.to:
        first = one_address(order.to, "--to")
    elif of_engagement:
        first = one_address(of_engagement, "engagement.email")
    else:
        raise UsageError(
            "nothing says to whom this packet goes",
            where="engagement.email",
            remedy="Give the address with --to. A client's own may stand in engagement.toml; a "
            "third party's is always given.",
        )
    found = [first]
    for text in order.also:
        address = one_address(text, "--also")
        if not any(same_address(address, other) for other in found):
            found.append(address)
    return tuple(found)


def questions(
    order: MailOrder, to: Sequence[str], of_engagement: str, earlier: Sequence[Sending]
) -> Iterator[Question]:
    """All that is unusual about this sending, or needs an eye."""
    if not order.to:
        yield Question(Asks.ADDRESS, f"it goes to {to[0]}, the address in engagement.toml")
    elif not of_engagement:
        yield Question(Asks.ADDRESS, f"nothing on file says that {to[0]} is the right address")
    elif not same_address(to[0], of_engagement.strip()):
        yield Question(
            Asks.ADDRESS, f"{to[0]} is not the address in engagement.toml, which is {of_engagement}"
        )
    for address in to[1:]:
        yield Question(Asks.ADDRESS, f"it goes to a further address as well: {address}")
    before = {address.casefold() for sending in earlier for address in sending.to}
    strange = [address for address in to if before and address.casefold() not in before]
    if strange:
        yield Question(
            Asks.ADDRESS, f"this packet went to another address before, not to {', '.join(strange)}"
        )
    for sending in earlier:
        yield Question(Asks.AGAIN, f"this packet {in_words(sending)}")
