"""The door for an ASGI server: `quiltbook.asgi:application`."""

import os

from django.core.asgi import get_asgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "quiltbook.settings")

application = get_asgi_application()
