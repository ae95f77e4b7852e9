"""Sign and verify: Ed25519 keys (RFC 8032), the private one kept under a passphrase.

A public key is written `ed25519:` and 64 hexadecimal digits, a signature as 128 of them, always in small letters, so
that there is one way to write each. Signing is deterministic: the same key and text give the same signature.

The file of a private key is JSON in plain text. The 32 bytes of the key are sealed with AES-256-GCM (NIST SP 800-38D)
under a key that scrypt (RFC 7914) makes of the passphrase; everything else in the file is bound in as associated data,
so that neither the person nor the cost can be changed unseen.
"""

from __future__ import annotations

import json
import os
import re
import unicodedata
from typing import Any

from cryptography.exceptions import InvalidSignature, InvalidTag
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from builder.compose.document import canonical_json

PREFIX = "ed25519:"
HEX = re.compile("[0-9a-f]*")
PUBLIC = re.compile(r"ed25519:[0-9a-f]{64}")
SIGNATURE = re.compile(r"[0-9a-f]{128}")
COST = 2**17
"""scrypt's N, with r = 8 and p = 1: 128 MiB and a fraction of a second for each guess at a passphrase (our choice)."""
LEAST, MOST = 2**10, 2**20
WHAT = "a signing key of Vouchered, locked by a passphrase: keep it to yourself, and outside the museum's records"
SHORTEST = 10
"""Characters of a passphrase, at least (our choice)."""


class KeyRefused(Exception):
    """A key file that is none, or a passphrase that does not open it; the message says which, and holds no secret."""


def public_of(key: Ed25519PrivateKey) -> str:
    """The public half as `museum.yml` names it."""
    return PREFIX + key.public_key().public_bytes_raw().hex()


def sign(key: Ed25519PrivateKey, message: bytes) -> str:
    """The signature of a text, in hexadecimal."""
    return key.sign(message).hex()


def is_signed(public: str, signature: str, message: bytes) -> bool:
    """Whether the signature is that of this key on this text; false for anything that is no key or signature."""
    if not PUBLIC.fullmatch(public) or not SIGNATURE.fullmatch(signature):
        return False
    try:
        known = Ed25519PublicKey.from_public_bytes(bytes.fromhex(public.removeprefix(PREFIX)))
        known.verify(bytes.fromhex(signature), message)
    except (InvalidSignature, ValueError):
        return False
    return True


def passphrase_fault(passphrase: str) -> str:
    """Why a new passphrase will not do; empty where it will."""
    if len(passphrase) < SHORTEST:
        return f"a passphrase has {SHORTEST} characters or more; four or five words picked by chance serve well"
    if len(set(passphrase)) < 4:
        return "that passphrase is guessed at once; four or five words picked by chance serve well"
    return ""


def lock_key(key: Ed25519PrivateKey, passphrase: str, *, person: str, cost: int = COST) -> bytes:
    """The file of a private key, locked."""
    salt, nonce = os.urandom(16), os.urandom(12)
    plain: dict[str, Any] = {
        "what": WHAT,
        "person": person,
        "public": public_of(key),
        "scrypt": {"n": cost, "r": 8, "p": 1, "salt": salt.hex()},
        "nonce": nonce.hex(),
    }
    secret = _stretched(passphrase, salt, cost)
    plain["sealed"] = AESGCM(secret).encrypt(nonce, key.private_bytes_raw(), canonical_json(plain)).hex()
    return (json.dumps(plain, indent=2) + "\n").encode()


def unlock_key(data: bytes, passphrase: str) -> Ed25519PrivateKey:
    """The private key in a file that `lock_key` made. Raises `KeyRefused`."""
    plain = read_key_file(data)
    sealed = bytes.fromhex(plain.pop("sealed"))
    secret = _stretched(passphrase, bytes.fromhex(plain["scrypt"]["salt"]), plain["scrypt"]["n"])
    try:
        raw = AESGCM(secret).decrypt(bytes.fromhex(plain["nonce"]), sealed, canonical_json(plain))
    except InvalidTag:
        raise KeyRefused("the passphrase does not open this key, or the file was changed") from None
    key = Ed25519PrivateKey.from_private_bytes(raw)
    if public_of(key) != plain["public"]:
        raise KeyRefused("the key file names another public key than its own")
    return key


def read_key_file(data: bytes) -> dict[str, Any]:
    """The plain values of a key file: who it belongs to, its public half. Raises `KeyRefused`."""
    try:
        plain = json.loads(data)
        given = plain["scrypt"]
        cost, salt, nonce, sealed = given["n"], given["salt"], plain["nonce"], plain["sealed"]
        whole = (
            set(plain) == {"what", "person", "public", "scrypt", "nonce", "sealed"}
            and set(given) == {"n", "r", "p", "salt"}
            and (given["r"], given["p"]) == (8, 1)
            and type(cost) is int
            and LEAST <= cost <= MOST
            and cost & (cost - 1) == 0
            and [len(text) for text in (salt, nonce, sealed) if HEX.fullmatch(text)] == [32, 24, 96]
            and isinstance(plain["person"], str)
            and PUBLIC.fullmatch(plain["public"])
        )
    except (ValueError, KeyError, TypeError, RecursionError):
        whole = False
    if not whole:
        raise KeyRefused("this is no key file of ours, or it was damaged")
    return dict(plain)


def _stretched(passphrase: str, salt: bytes, cost: int) -> bytes:
    # composed letters, so that one passphrase is the same bytes from every keyboard
    text = unicodedata.normalize("NFC", passphrase).encode("utf-8", "surrogatepass")
    return Scrypt(salt=salt, length=32, n=cost, r=8, p=1).derive(text)
