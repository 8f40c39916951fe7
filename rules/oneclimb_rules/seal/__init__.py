"""Water: connectors and what seals them."""
