"""The demo: an invented firm in an invented town, its enquiries and its price lists."""
