"""What people say about a position: claims judged, logs audited, notes compared, conflicts told."""
