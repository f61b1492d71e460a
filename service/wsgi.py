"""What gunicorn serves."""

from service.app import create_app

app = create_app()
