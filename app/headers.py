"""The headers that tell a browser what a page of ours may do. They go out with every response, errors included."""

from __future__ import annotations

from flask import Flask, Response, request

# Everything comes from this server, and nothing inline is run. `blob:` and `data:` are for drawings saved as pictures.
POLICY = {
    "default-src": "'none'",
    "script-src": "'self'",
    "style-src": "'self'",
    "img-src": "'self' data: blob:",
    "font-src": "'self'",
    "connect-src": "'self'",
    "base-uri": "'none'",
    "form-action": "'self'",
}
NOT_NEEDED = ("accelerometer", "camera", "display-capture", "geolocation", "gyroscope", "microphone", "payment", "usb")

ALWAYS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Permissions-Policy": ", ".join(f"{feature}=()" for feature in NOT_NEEDED),
}


def security_policy(frames: str) -> str:
    """The Content-Security-Policy of a response that `frames` may frame."""
    return "; ".join(f"{what} {where}" for what, where in {**POLICY, "frame-ancestors": frames}.items())


def send_headers(app: Flask) -> None:
    """Add the headers to every response of an application."""

    @app.after_request
    def add(response: Response) -> Response:
        response.headers.update(ALWAYS)
        framed = request.endpoint == "pages.embed" and response.status_code < 400
        response.headers["Content-Security-Policy"] = security_policy("*" if framed else "'none'")
        response.headers["Cross-Origin-Resource-Policy"] = "cross-origin" if framed else "same-origin"
        if not framed:
            response.headers["X-Frame-Options"] = "DENY"
        return response
