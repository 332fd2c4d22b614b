#!/usr/bin/env python3
"""The page of a job pack as a browser shows and prints it.

    tests/page/check.py target/debug/lineset data/jobs/two-on-the-roof.toml ...

For each job: at the width of a phone and of a desk no console error, nothing wider than the window, every chart visible
and named, every internal link leads somewhere, every text at a contrast of at least 4.5 to 1; printed on Letter and on A4
the fitter's part takes at most two pages. Needs chromium, chromedriver and pdftotext, and nothing else than Python's
own library: the driver is spoken to over HTTP (W3C WebDriver). With LINESET_LOOK=FOLDER it leaves pictures and PDFs there.
"""

import base64
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request

WIDTHS = {"phone": 360, "desk": 1200}
# Width and height in centimetres.
PAPERS = {"letter": (21.59, 27.94), "a4": (21.0, 29.7)}
# WCAG 2.1, success criterion 1.4.3, level AA, text of any size.
LEAST_CONTRAST = 4.5
FLAGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-dev-shm-usage",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars",
]

LOOK = """
const faults = [], say = text => { if (faults.length < 20) faults.push(text) };
const name = node => (node.textContent || '').trim().slice(0, 40);
if (document.documentElement.scrollWidth > window.innerWidth) {
  const wide = [...document.querySelectorAll('body *')].filter(e =>
    e.getBoundingClientRect().right > window.innerWidth + 1 && !e.closest('.table, svg'));
  say(`wider than the window: ${document.documentElement.scrollWidth} > ${window.innerWidth}: ` +
    wide.slice(0, 3).map(e => `${e.tagName} ${name(e)}`).join(' | '));
}
for (const svg of document.querySelectorAll('svg')) {
  const box = svg.getBoundingClientRect(), title = svg.querySelector(':scope > title');
  if (box.width < 200 || box.height < 60) say(`a chart is ${box.width} by ${box.height}: ${name(svg)}`);
  if (svg.getAttribute('role') !== 'img' || !title || !title.textContent.trim()) say(`a chart has no name: ${name(svg)}`);
}
if (!document.querySelector('svg')) say('no chart at all');
for (const link of document.querySelectorAll('a[href]')) {
  const href = link.getAttribute('href');
  if (!href.startsWith('#')) say(`a link leads out of the page: ${href}`);
  else if (!document.getElementById(href.slice(1))) say(`a link leads nowhere: ${href}`);
}
const ids = [...document.querySelectorAll('[id]')].map(e => e.id);
if (new Set(ids).size !== ids.length) say('an id stands twice');
const parse = colour => { const p = (colour.match(/[\\d.]+/g) || []).map(Number); return p.length < 3 ? null : p };
const light = ([r, g, b]) => {
  const part = v => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4 };
  return 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
};
const ground = element => {
  for (let e = element; e; e = e.parentElement) {
    const colour = parse(getComputedStyle(e).backgroundColor);
    if (colour && (colour.length < 4 || colour[3] > 0)) return colour;
  }
  return [255, 255, 255];
};
let texts = 0;
const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
for (let node = walk.nextNode(); node; node = walk.nextNode()) {
  const e = node.parentElement;
  if (!node.textContent.trim() || e.matches('title, style, script') || !e.getClientRects().length) continue;
  texts += 1;
  const style = getComputedStyle(e), drawn = e.closest('svg');
  const ink = light(parse(drawn ? style.fill : style.color)), paper = light(drawn ? [255, 255, 255] : ground(e));
  const contrast = (Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05);
  if (contrast < arguments[0]) say(`contrast ${contrast.toFixed(2)}: ${name(node)}`);
}
if (texts < 100) say(`only ${texts} texts`);
return faults;
"""


class Browser:
    """One session of a headless browser."""

    def __init__(self, profile):
        self.driver = subprocess.Popen(
            ["chromedriver", "--port=0"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        )
        port = None
        for line in self.driver.stdout:
            if found := re.search(r"started successfully on port (\d+)", line):
                port = found[1]
                break
        if port is None:
            sys.exit("chromedriver did not start")
        self.root = f"http://127.0.0.1:{port}/session"
        options = {"args": [*FLAGS, f"--user-data-dir={profile}"]}
        wanted = {"browserName": "chrome", "goog:chromeOptions": options, "goog:loggingPrefs": {"browser": "ALL"}}
        self.root += "/" + self.ask("", {"capabilities": {"alwaysMatch": wanted}})["sessionId"]

    def ask(self, path, body):
        request = urllib.request.Request(
            self.root + path, json.dumps(body).encode(), {"Content-Type": "application/json"}
        )
        # The machine's own driver: no proxy stands between.
        opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        try:
            with opener.open(request, timeout=120) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as error:
            sys.exit(f"the browser refused {path or 'to start'}: {error.read().decode()[:500]}")

    def close(self):
        opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        try:
            opener.open(urllib.request.Request(self.root, method="DELETE"), timeout=30).close()
        finally:
            self.driver.terminate()
            self.driver.wait(30)

    def show(self, page, width):
        metrics = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": False}
        self.ask("/goog/cdp/execute", {"cmd": "Emulation.setDeviceMetricsOverride", "params": metrics})
        self.ask("/url", {"url": page.as_uri()})

    def run(self, script, *arguments):
        return self.ask("/execute/sync", {"script": script, "args": list(arguments)})

    def errors(self):
        return [entry["message"] for entry in self.ask("/se/log", {"type": "browser"}) if entry["level"] == "SEVERE"]

    def picture(self):
        clip = self.run("const e = document.documentElement; return [e.scrollWidth, e.scrollHeight]")
        params = {
            "captureBeyondViewport": True,
            "clip": {"x": 0, "y": 0, "width": clip[0], "height": min(clip[1], 16000), "scale": 1},
        }
        return base64.b64decode(
            self.ask("/goog/cdp/execute", {"cmd": "Page.captureScreenshot", "params": params})["data"]
        )

    def printed(self, paper):
        width, height = PAPERS[paper]
        # The margins are those of the page's own style.
        page = {"width": width, "height": height}
        return base64.b64decode(self.ask("/print", {"page": page, "background": True, "shrinkToFit": False}))


def fitter_pages(pdf):
    """Pages before the long file begins, and all pages."""
    with tempfile.NamedTemporaryFile(suffix=".pdf") as file:
        file.write(pdf)
        file.flush()
        text = subprocess.run(["pdftotext", file.name, "-"], check=True, capture_output=True, text=True).stdout
    pages = text.split("\f")
    before = next((index for index, page in enumerate(pages) if "The long file" in page), None)
    return before, len(pages) - 1


def look(browser, page, name, keep):
    faults = []
    for screen, width in WIDTHS.items():
        browser.show(page, width)
        faults += [f"{screen}: {fault}" for fault in browser.run(LOOK, LEAST_CONTRAST)]
        faults += [f"{screen}: console: {error}" for error in browser.errors()]
        if keep:
            (keep / f"{name}-{screen}.png").write_bytes(browser.picture())
    for paper in PAPERS:
        pdf = browser.printed(paper)
        if keep:
            (keep / f"{name}-{paper}.pdf").write_bytes(pdf)
        before, pages = fitter_pages(pdf)
        if before is None or pages < 5:
            faults.append(f"{paper}: printed on {pages} pages without a long file")
        elif not 1 <= before <= 2:
            faults.append(f"{paper}: the fitter's part takes {before} pages, not two")
        print(f"  {paper}: {before} pages for the fitter, {pages} in all")
    return faults


def main(lineset, *jobs):
    keep = os.environ.get("LINESET_LOOK")
    keep = pathlib.Path(keep) if keep else None
    failed = False
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder:
        folder = pathlib.Path(folder)
        browser = Browser(folder / "profile")
        try:
            for job in jobs:
                name = pathlib.Path(job).stem
                begun = time.monotonic()
                packed = subprocess.run(
                    [lineset, "pack", job, "--folder", folder / name], capture_output=True, text=True
                )
                print(f"{job}: packed in {time.monotonic() - begun:.1f} s")
                if packed.returncode not in (0, 1):
                    sys.exit(packed.stderr)
                faults = look(browser, folder / name / "index.html", name, keep)
                for fault in faults:
                    print(f"  FAULT {fault}")
                failed |= bool(faults)
        finally:
            browser.close()
    return 1 if failed else 0


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
