"""Our application for the benchmark's server; the environment names its database."""

from service.app import create_app
from service.settings import Settings

app = create_app(Settings())
