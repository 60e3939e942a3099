"""Short codes people type: unambiguous capitals and a check character of ISO/IEC 7064, MOD 37,36."""

# No 0 O 1 I L 2 Z 5 S 8 B U V Q: each of these is misread for another in handwriting or small print.
ALPHABET = "34679ACDEFGHJKMNPRTWXY"
CHECK_ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
BODY_LENGTH = 4
COUNT = len(ALPHABET) ** BODY_LENGTH
STEP = 100_003  # prime to 22**4, so that successive codes look unlike each other and none comes twice


def check_character(text: str) -> str:
    """The ISO/IEC 7064 MOD 37,36 check character of letters and digits."""
    product = 36
    for character in text:
        total = (product + CHECK_ALPHABET.index(character)) % 36 or 36
        product = total * 2 % 37
    return CHECK_ALPHABET[(37 - product) % 36]


def code_of(prefix: str, number: int) -> str | None:
    """The code of a running number, or None where its check character could be misread."""
    if not 0 < number < COUNT:
        raise ValueError(f"codes run from 1 to {COUNT - 1}")
    rest, body = number * STEP % COUNT, ""
    for _ in range(BODY_LENGTH):
        rest, digit = divmod(rest, len(ALPHABET))
        body += ALPHABET[digit]
    check = check_character(prefix + body)
    return prefix + body + check if check in ALPHABET else None


def clean_code(typed: str) -> str:
    """What was typed or scanned, in capitals without spaces and dashes."""
    return "".join(character for character in typed.upper() if character.isalnum())


def is_code(text: str) -> bool:
    """Is this a whole code with the right check character?"""
    return (
        len(text) == BODY_LENGTH + 2
        and all(character in CHECK_ALPHABET for character in text)
        and check_character(text[:-1]) == text[-1]
    )


def spaced(code: str) -> str:
    """A code as printed, in two groups: `K7D-PY6`."""
    return f"{code[:3]}-{code[3:]}"
