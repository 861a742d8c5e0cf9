"""Product that dries on the wood, told in any words: nothing is asked then, and nothing waits."""

from __future__ import annotations

import re

from bot.understand.alarm import plain

DRIES = re.compile(
    r"\b(?:drying|dries|dried|goes dry|going dry|went dry|gone dry|getting dry|got dry|is dry|dry (?:on me|at|in|around|"
    r"along|edge|edges|spot|spots|corner)|flash(?:ing|ed) off|(?:se|me) (?:me )?(?:esta|estan|anda|andan) secando|"
    r"secando(?:se)?|se (?:me )?seco|se (?:me )?seca|reseca|resecando|(?:esta|ta|quedo) seca)\b"
)
# Of wood that ought to dry, of when it will be, and of what is done so that it does not.
ELSE = re.compile(
    r"\b(?:when|until|till|before|so (?:it|they|that)|wont|doesnt|dont|keep|enough|meter|moisture|ready|oil|coat|towel|"
    r"clothes|cuando|hasta|antes|que no|medidor|humedad|lista?|aceit\w+|ropa|not|no)\b"
)


def drying_out(text: str) -> bool:
    """Whether a message cries that what ought to stay wet dries out."""
    said = plain(text)
    return bool(DRIES.search(said)) and not ELSE.search(said) and not said.startswith(("is ", "are ", "ya se "))
