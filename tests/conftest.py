"""The order of the browser's tests: lesson by lesson, so that each is opened once."""


def pytest_collection_modifyitems(items):
    where = [i for i, item in enumerate(items) if "test_browser.py" in item.nodeid]
    ordered = sorted((items[i] for i in where), key=lambda item: item.callspec.params["lesson"])
    for i, item in zip(where, ordered, strict=True):
        items[i] = item
