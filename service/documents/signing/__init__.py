"""Electronic signatures of certificates: keys, signing by PAdES (ETSI EN 319 142-1), verification.

The workshop is its own certificate authority, or brings a key of its own as a PKCS#12 file or on a PKCS#11 token.
Whoever holds the workshop's public certificate can check a document off line, with this product or with any reader
that knows PDF signatures. pyHanko and `cryptography` do the cryptography; they load on first use.
"""
