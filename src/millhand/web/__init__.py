"""The local web app: pages and a documented HTTP interface over the same steps as the command line."""
