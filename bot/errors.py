"""Everything that Rinsebell raises on purpose.

RinsebellError
 +- Refused         unsafe: the crew sees the reason and no quantity
 +- Nonsense        a value outside what is possible; the crew is asked again
 +- Misconfigured   the owner sees which setting is wrong
 +- DeliveryFailed  a message did not go out; `retry` says whether to try again

A question is a value, not an error. Each carries a `key`, which speech turns into words in
the reader's language, and the `values` those words need.
"""


class RinsebellError(Exception):
    """What went wrong, as a key for speech and the values its words need."""

    def __init__(self, key: str, **values: object) -> None:
        super().__init__(key, values)
        self.key = key
        self.values = values

    def __str__(self) -> str:
        told = ", ".join(f"{name}={value}" for name, value in self.values.items())
        return f"{self.key} ({told})" if told else self.key


class Refused(RinsebellError):
    """Unsafe for people or wood: the crew gets the reason and no quantity."""


class Nonsense(RinsebellError):
    """A value outside what is possible, such as minus four gallons."""


class Misconfigured(RinsebellError):
    """A setting is missing or wrong; `key` names it."""


class DeliveryFailed(RinsebellError):
    """A message did not go out; `retry` says whether another try can help."""

    def __init__(self, key: str, retry: bool = True, **values: object) -> None:
        super().__init__(key, **values)
        self.retry = retry
