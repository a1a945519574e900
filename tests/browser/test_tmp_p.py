from tests.browser.test_export import *
def test_p(run):
    alone = {"joints": {"a": [0, 0], "c": [0, 8]},"parts": [{"name": "C1", "kind": "capacitor", "value": "100 µF", "from": "a", "to": "c"}]}
    full = {**SOLUTION, "parts": {"C1": {**SOLUTION["parts"]["C1"], "energy": reading("5.00 mJ", 5e-3)}}}
    d=drawing(run,alone,full); print(d[:3000])
