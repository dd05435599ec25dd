"""What a PDF needs to be read aloud and kept: PDF/UA-1 beside PDF/A-3a, headers with their scope.

ISO 14289-1:2014 (7.5 for the headers of tables) and ISO 19005-3:2012 (6.6.2.3 for properties that
the standard does not know), as their free judge reads them.
"""

from __future__ import annotations

from typing import Any

# Both parts are claimed in one block; PDF/A wants the foreign property described beside it.
_CLAIM = b"""<rdf:Description xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"
 xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/" rdf:about="" pdfuaid:part="1"/>
<rdf:Description xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"
 xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"
 xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#" rdf:about="">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of ISO 14289 that the file follows</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas></rdf:Description>
"""
_END = b"</rdf:RDF>"


def claim_both(metadata: Any) -> None:
    """Let the metadata of a rendered document claim PDF/UA-1 beside PDF/A."""
    plain = metadata.generate_rdf_metadata

    def generate(variant: str, version: int, conformance: str) -> bytes:
        made: bytes = plain(variant, version, conformance)
        return made.replace(_END, _CLAIM + _END)

    metadata.generate_rdf_metadata = generate


def finish(document: Any, pdf: Any) -> None:
    """Give every header cell its scope, and let no picture be smoothed (PDF/A forbids it).

    A finisher as WeasyPrint's `write_pdf` takes it.
    """
    del document
    objects: list[Any] = pdf.objects
    parts = {one.reference: one for one in objects if hasattr(one, "get")}
    for one in parts.values():
        if one.get("S") == "/TH":
            _scope(one, parts)
    for one in objects:
        extra = getattr(one, "extra", None)
        if extra and extra.get("Subtype") == "/Image":
            extra["Interpolate"] = "false"


def _scope(header: Any, parts: dict[Any, Any]) -> None:
    import pydyf

    row = parts[header["P"]]
    above = parts[row["P"]].get("S")
    scope = "/Column" if above == "/THead" else "/Row"
    attributes = header.get("A")
    if isinstance(attributes, dict):
        attributes["Scope"] = scope
    else:
        header["A"] = pydyf.Dictionary({"O": "/Table", "Scope": scope})
