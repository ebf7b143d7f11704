"""PDFs with a real cryptographic signature, by a certificate made on the spot."""

import datetime as dt
import io
import warnings

import pikepdf
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

SIGNER = "Ana Sample"


def _key_file() -> bytes:
    """A self-signed certificate with its key (PKCS #12, no password)."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, SIGNER)])
    start = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(7)
        .not_valid_before(start)
        .not_valid_after(start + dt.timedelta(days=36500))
        .add_extension(
            x509.KeyUsage(
                digital_signature=True,
                content_commitment=True,
                key_encipherment=False,
                data_encipherment=False,
                key_agreement=False,
                key_cert_sign=False,
                crl_sign=False,
                encipher_only=False,
                decipher_only=False,
            ),
            critical=True,
        )
        .sign(key, hashes.SHA256())
    )
    return serialization.pkcs12.serialize_key_and_certificates(
        b"signer", key, certificate, None, serialization.NoEncryption()
    )


def signed(pdf: bytes, field: str = "taxpayer_signature_consent") -> bytes:
    """The document with one signature field, signed. Needs pyHanko."""
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign import signers
    from pyhanko.sign.fields import SigFieldSpec

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        signer = signers.SimpleSigner.load_pkcs12_data(_key_file(), other_certs=[], passphrase=None)
        writer = IncrementalPdfFileWriter(io.BytesIO(pdf))
        out = signers.sign_pdf(
            writer,
            signers.PdfSignatureMetadata(field_name=field, name="Somebody Else"),
            signer=signer,
            new_field_spec=SigFieldSpec(field, on_page=0, box=(100, 100, 300, 140)),
        )
        return bytes(out.getvalue())


def plain_page() -> bytes:
    """One page with a few words."""
    target = io.BytesIO()
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(612, 792))
        page.obj.Resources = pikepdf.Dictionary(
            Font=pikepdf.Dictionary(
                F1=pikepdf.Dictionary(
                    Type=pikepdf.Name.Font,
                    Subtype=pikepdf.Name.Type1,
                    BaseFont=pikepdf.Name.Helvetica,
                )
            )
        )
        words = b"BT /F1 12 Tf 72 700 Td (Consent to disclosure of tax return information) Tj ET"
        page.obj.Contents = pdf.make_stream(words)
        pdf.save(target, deterministic_id=True, compress_streams=False)
    return target.getvalue()
