"""Audits a DXF file with ezdxf and prints what it is and what each layer fills, as JSON: python3 auditdxf.py FILE.dxf"""
import json
import sys

from ezdxf import bbox, recover

doc, audit = recover.readfile(sys.argv[1])
boxes = {}
for name in ("VIEW", "SECTION", "CUT", "DIM"):
    box = bbox.extents(doc.modelspace().query(f'*[layer=="{name}"]'))
    boxes[name] = [box.extmin.x, box.extmin.y, box.extmax.x, box.extmax.y]
print(json.dumps({"version": doc.dxfversion, "units": doc.units, "measurement": doc.header.get("$MEASUREMENT"),
                  "errors": len(audit.errors), "fixes": len(audit.fixes), "boxes": boxes}))
