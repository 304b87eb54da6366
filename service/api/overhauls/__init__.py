"""One injector's way through the shop: where it stands, and every record of it as a noun to POST."""
