"""How the job record looks: one ink on white, wide tables that scroll on a phone and break well on paper."""

STYLE = """
:root{--ink:#20292c;--soft:#5d686b;--line:#c9cfd0}
*{box-sizing:border-box}body{margin:0;background:#fff;color:var(--ink);font:14px/1.45 system-ui,sans-serif}
main{max-width:940px;margin:0 auto;padding:28px 20px 40px}
header{border-bottom:3px solid var(--ink);margin-bottom:8px}h1{font-size:28px;margin:0}header p{margin:6px 0 12px}
.kind{text-transform:uppercase;letter-spacing:.08em;font-size:12px;color:var(--soft);margin:0}
h2{font-size:16px;margin:26px 0 6px}.wide{overflow-x:auto}
table{border-collapse:collapse;width:100%;font-size:12.5px}
th{text-align:left;font-weight:600;color:var(--soft);border-bottom:1.5px solid var(--ink);padding:4px 10px 4px 0}
td{vertical-align:top;border-bottom:1px solid var(--line);padding:4px 9px 4px 0;overflow-wrap:break-word}
.said{min-width:14em;overflow-wrap:anywhere}
.photos{display:grid;grid-template-columns:repeat(auto-fill,minmax(260px,1fr));gap:14px}
figure{margin:0;break-inside:avoid}img{max-width:100%;display:block}
figcaption{font-size:12px;color:var(--soft);padding-top:4px}
s{color:var(--soft)}footer{margin-top:30px;border-top:3px solid var(--ink);font-size:12px}
code{font-size:12px;overflow-wrap:anywhere}
@page{margin:14mm 12mm}
@media print{main{max-width:none;padding:0}h2{break-after:avoid}tr{break-inside:avoid}.wide{overflow:visible}
table{font-size:10.5px}td,th{padding-right:6px}.photos{display:block}figure{max-width:60%;margin-bottom:12px}}
"""
