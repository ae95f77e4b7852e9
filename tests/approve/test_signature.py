"""Keys, signatures and fingerprints, held to the published test vectors and to a reference library."""

from __future__ import annotations

import json
import random

import pytest
from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from builder.approve import signature
from builder.approve.signature import KeyRefused, is_signed, lock_key, passphrase_fault, public_of, sign, unlock_key
from builder.compose.document import canonical_json

# RFC 8032, section 7.1, tests 1 to 3 and "SHA(abc)": secret key, public key, message, signature
VECTORS = (
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ),
    (
        "833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
        "ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
        "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f",
        "dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b58909351fc9ac90b3ecfdfbc7c66431e0303dca179c138ac17ad9bef1177331a704",
    ),
)


@pytest.mark.parametrize("secret, public, message, wanted", VECTORS)
def test_rfc_8032(secret: str, public: str, message: str, wanted: str) -> None:
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
    text = bytes.fromhex(message)
    assert public_of(key) == f"ed25519:{public}"
    assert sign(key, text) == wanted
    assert is_signed(f"ed25519:{public}", wanted, text)
    assert not is_signed(f"ed25519:{public}", wanted, text + b"\0")


def test_one_way_to_write_a_signature() -> None:
    _, public, message, wanted = VECTORS[2]
    text, key = bytes.fromhex(message), f"ed25519:{public}"
    for forged in (wanted.upper(), wanted[:-2], wanted + "00", f" {wanted}", "", wanted.replace("0", "O")):
        assert not is_signed(key, forged, text)
    for other in (public, key.upper(), key + "\n", "ed25519:" + "0" * 64, "ed25519:" + "f" * 64):
        assert not is_signed(other, wanted, text)
    # S + L signs as well by arithmetic alone; RFC 8032, section 5.1.7 has S below L
    order = 2**252 + 27742317777372353535851937790883648493
    s = int.from_bytes(bytes.fromhex(wanted[64:]), "little") + order
    assert not is_signed(key, wanted[:64] + s.to_bytes(32, "little").hex(), text)


def test_every_bit_of_a_signature_counts() -> None:
    _, public, message, wanted = VECTORS[1]
    raw = bytes.fromhex(wanted)
    for at in range(len(raw) * 8):
        flipped = bytearray(raw)
        flipped[at // 8] ^= 1 << at % 8
        assert not is_signed(f"ed25519:{public}", flipped.hex(), bytes.fromhex(message)), at


def test_rfc_8785_for_the_values_that_occur() -> None:
    """RFC 8785: section 3.2.3's strings, and the order of keys; its numbers do not occur, all of ours are whole."""
    # section 3.2.2.2 and appendix: control characters as the two-letter or \u form in small letters, all else as it is
    text = "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/"
    assert canonical_json(text) == '"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"'.encode()
    assert (
        canonical_json({"literals": [None, True, False], "b": 1, "a": ""})
        == b'{"a":"","b":1,"literals":[null,true,false]}'
    )
    # section 3.2.3's example, without its key beyond the basic plane: keys by UTF-16 code unit, here also by code point
    keys = {"\u20ac": "Euro Sign", "\r": "Carriage Return", "1": "One", "\u0080": "Control", "\u00f6": "O umlaut"}
    assert list(json.loads(canonical_json(keys))) == ["\r", "1", "\u0080", "\u00f6", "\u20ac"]
    assert canonical_json({"\u0080": "Control\u007f"}) == '{"\u0080":"Control\u007f"}'.encode()


def test_rfc_7914_scrypt() -> None:
    """RFC 7914, section 12, second vector: the function that locks keys is that scrypt."""
    made = Scrypt(salt=b"NaCl", length=64, n=1024, r=8, p=16).derive(b"password").hex()
    assert made.startswith("fdbabe1c9d3472007856e7190d01e9fe7c6ad7cbc8237830e77376634b373162")


def locked(passphrase: str = "vier Wörter im Kopf") -> tuple[Ed25519PrivateKey, bytes]:
    key = Ed25519PrivateKey.from_private_bytes(bytes(range(32)))
    return key, lock_key(key, passphrase, person="c-keeper", cost=signature.LEAST)


def test_a_key_opens_with_its_passphrase_alone() -> None:
    key, data = locked()
    assert public_of(unlock_key(data, "vier Wörter im Kopf")) == public_of(key)
    assert public_of(unlock_key(data, "vier Wo\u0308rter im Kopf")) == public_of(key), "letters put together otherwise"
    for wrong in ("", "vier Worter im Kopf", "vier Wörter im Kopf "):
        with pytest.raises(KeyRefused, match="does not open"):
            unlock_key(data, wrong)
    assert bytes(range(32)).hex() not in data.decode()


def test_two_locked_files_of_one_key_share_nothing_secret() -> None:
    first, second = (json.loads(locked()[1]) for _ in range(2))
    assert first["public"] == second["public"]
    assert all(first[name] != second[name] for name in ("nonce", "sealed", "scrypt"))


def test_by_default_a_guess_costs() -> None:
    assert signature.COST == 2**17


def test_a_damaged_key_file_is_refused() -> None:
    _, data = locked()
    chance = random.Random("damaged keys")
    for _ in range(300):
        at = chance.randrange(len(data))
        bad = data[:at] + bytes([data[at] ^ (1 << chance.randrange(8))]) + data[at + 1 :]
        try:
            if json.loads(bad) == json.loads(data):
                continue
        except ValueError:
            pass
        with pytest.raises(KeyRefused):
            unlock_key(bad, "vier Wörter im Kopf")
    for text in (b"", b"{}", b"[]", b"null", b"\xff", b"{" * 5000, data[:-20], b'{"scrypt": {"n": "x"}}'):
        with pytest.raises(KeyRefused):
            unlock_key(text, "vier Wörter im Kopf")


@pytest.mark.parametrize("cost", (2**30, 3, 1000, 0, -1, "131072", True))
def test_a_cost_that_nobody_could_pay_is_refused_unpaid(cost: object) -> None:
    plain = json.loads(locked()[1])
    plain["scrypt"]["n"] = cost
    with pytest.raises(KeyRefused, match="no key file"):
        unlock_key(json.dumps(plain).encode(), "vier Wörter im Kopf")


def test_the_person_of_a_key_file_is_bound_in() -> None:
    plain = json.loads(locked()[1])
    plain["person"] = "somebody-else"
    with pytest.raises(KeyRefused):
        unlock_key(json.dumps(plain).encode(), "vier Wörter im Kopf")


def test_poor_passphrases() -> None:
    assert passphrase_fault("short") and passphrase_fault("aaaaaaaaaaaa")
    assert passphrase_fault("four plain words here") == ""


def test_no_secret_in_what_is_said() -> None:
    _, data = locked()
    with pytest.raises(KeyRefused) as caught:
        unlock_key(data, "my secret guess")
    assert "my secret guess" not in str(caught.value) and not isinstance(caught.value.__cause__, InvalidTag)
