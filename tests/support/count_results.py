"""Counts GoogleTest cases over all programs: count_results.py FOLDER CTEST_STATUS, prints 'N passed, N failed'."""
import pathlib
import sys
import xml.etree.ElementTree as xml

passed = failed = skipped = 0
names = []
for report in sorted(pathlib.Path(sys.argv[1]).glob("*.xml")):
    for case in xml.parse(report).getroot().iter("testcase"):
        name = f"{case.get('classname')}.{case.get('name')}"
        if case.get("status") == "notrun" or case.find("skipped") is not None:
            skipped += 1
        elif case.find("failure") is not None:
            failed += 1
            names.append(name)
        else:
            passed += 1
for name in names:
    print("failed:", name)
if int(sys.argv[2]) and not failed:
    print("a test program ended badly without naming a case (see above)")
    failed += 1
if passed == 0:
    print("no test ran")
    failed += 1
print(f"{passed} passed, {failed} failed" + (f", {skipped} skipped" if skipped else ""))
sys.exit(1 if failed else 0)
