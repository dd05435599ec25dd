"""The role in a signature of a manifest: signed with it, so that no other file name gives another.

It is a claimed attribute of the signer (signer-attributes-v2: ETSI EN 319 122-1, 5.2.6), of type
role (RFC 5755, 4.4.5), whose name has to be an address: here one of data (RFC 2397) (memory).
"""

from __future__ import annotations

from importlib import import_module
from typing import Any
from urllib.parse import quote, unquote

_DATA = "data:,"


def with_role(role: str) -> Any:
    """Settings of the signed attributes by which the library signs a role too."""
    asn1 = import_module("asn1crypto.cms")
    api = import_module("pyhanko.sign.ades.api")
    # As contents: given as a value, the library would take some of the quoting off again.
    address = import_module("asn1crypto.x509").URI(contents=(_DATA + quote(role, safe="")).encode())
    name = asn1.GeneralName("uniform_resource_identifier", address)
    claimed = asn1.AttCertAttribute({"type": "role", "values": [{"role_name": name}]})
    spec = api.CAdESSignedAttrSpec(signer_attributes=api.SignerAttrSpec([claimed], []))
    settings = import_module("pyhanko.sign.signers.pdf_cms").PdfCMSSignedAttributes
    return settings(cades_signed_attrs=spec)


def signed_role(content: Any) -> str:
    """The role among what the first signer of signed data has signed; "" where there is none."""
    for attribute in content["signer_infos"][0]["signed_attrs"]:
        if attribute["type"].native != "signer_attributes_v2":
            continue
        for claimed in attribute["values"][0]["claimed_attributes"]:
            if claimed["type"].native == "role":
                name = claimed["values"][0]["role_name"].chosen.contents.decode("latin-1")
                return unquote(name.removeprefix(_DATA)) if name.startswith(_DATA) else ""
    return ""
