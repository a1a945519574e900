from tests.browser.test_touch import browser_context_args, phone, blank
def test_x(blank):
    p=blank.page
    W="""() => JSON.stringify([innerWidth, document.documentElement.scrollWidth, visualViewport.scale, visualViewport.offsetLeft, scrollX, scrollY, [...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > 391).map(e => (e.id||e.className||e.tagName)+' '+Math.round(e.getBoundingClientRect().right))])"""
    print(p.evaluate(W))
    blank.line((2, 3), (2, 14))
    print(p.evaluate(W))
    blank.answer("9 V")
    print(p.evaluate(W), blank.view())
    blank.line((2, 3), (7, 3))
    print(p.evaluate(W), blank.view())
    p.screenshot(path="/tmp/fa/o2.png")
    assert 0
