"""The door for a WSGI server: `quiltbook.wsgi:application`."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "quiltbook.settings")

application = get_wsgi_application()
