"""The shop on the network: its addresses, its certificate, the page that hands it out, and the servers."""
