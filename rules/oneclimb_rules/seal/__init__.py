"""Water: connectors, boxes, holes and glands, and what keeps it out of them."""
