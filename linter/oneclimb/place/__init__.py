"""The place: buildings, things and ground as solids, and how a camera looks at them."""
