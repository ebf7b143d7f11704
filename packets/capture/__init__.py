"""A signature drawn on a page of our own, bound to the document that the signer was shown."""
