"""How do static files get names that change with their content, so that browsers may keep them for ever?"""

from django.contrib.staticfiles.storage import ManifestStaticFilesStorage


class HashedStaticFiles(ManifestStaticFilesStorage):
    """Hashed copies; imports between JavaScript modules are rewritten to the hashed names."""

    support_js_module_import_aggregation = True
