"""Ground floor: errors, secrets, durable files, canonical JSON, limits, boxes."""
