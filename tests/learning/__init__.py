"""The firm's own numbers, against simulation, closed forms and other libraries."""
