"""The reading views: what an owner sees who opens the file in any SQLite tool. Times are the shop's own.

All are rebuilt by one migration, so that they can be made better without touching what is kept. Undone
entries show in `timeline` (marked) and nowhere else.
"""

from __future__ import annotations

FACTORS = {"g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}  # grams; NIST SP 811 appendix B
LITRES = {
    "L": 1.0, "mL": 0.001, "gal": 3.785411784, "qt": 0.946352946, "pt": 0.473176473, "cup": 0.2365882365,
    "floz": 0.0295735295625, "bucket": 18.92705892,
}  # fmt: skip


def amount(path: str) -> str:
    """SQL for "4 gal" out of a quantity in an entry's data; an empty text where there is none."""
    value, unit = f"json_extract(e.data, '$.{path}.value')", f"json_extract(e.data, '$.{path}.unit')"
    return f"coalesce(printf('%g', round({value}, 2)) || ' ' || {unit}, '')"


def slot(path: str, before: str = "") -> str:
    """SQL for a plain value out of an entry's data, with words before it; an empty text where there is none."""
    value = f"json_extract(e.data, '$.{path}')"
    short = f"case typeof({value}) when 'real' then printf('%g', {value}) else {value} end"
    return f"coalesce('{before}' || {short}, '')"


def weighed(path: str) -> str:
    """SQL for what left the shelf: grams as "30 oz (850 g)", anything else as it was told."""
    value, unit = f"json_extract(e.data, '$.{path}.value')", f"json_extract(e.data, '$.{path}.unit')"
    both = f"printf('%g oz (%g g)', round({value} / {FACTORS['oz']}, 1), round({value}))"
    return f"case {unit} when 'g' then {both} else {amount(path)} end"


def told(path: str, before: str) -> str:
    """SQL for words and a quantity behind them; an empty text where there is none."""
    return f"case when json_extract(e.data, '$.{path}') is null then '' else '{before}' || {amount(path)} end"


WHERE = "(select group_concat(value, ', ') from json_each(e.sections))"
AT = f"coalesce({WHERE} || ' ', '')"
ON = f"coalesce(' on ' || {WHERE}, '')"
STEP = "json_extract(e.data, '$.step')"
PAIRS = "(select group_concat(replace(key, '_', ' ') || ' ' || value, ', ') from json_each(e.data))"
KEYS = "(select group_concat(value, ', ') from json_each(json_extract(e.data, '$.keys')))"
STARTED = f"""case {STEP}
    when 'strip' then coalesce(json_extract(e.data, '$.product'), 'stripper') || ' going' || {ON}
    when 'brighten' then coalesce(json_extract(e.data, '$.product'), 'brightener') || ' going' || {ON}
    when 'rinse' then 'rinsing' || coalesce(' ' || {WHERE}, '') when 'final rinse' then 'final rinse begun' || {ON}
    when 'coat' then 'coating begun' || {ON}
    when 'protect' then 'covering up begun' when 'prewet' then 'wetting plants' when 'patch' then 'test patch begun'
    else coalesce({STEP}, '') || ' begun' || {ON} end"""
FINISHED = f"""case {STEP}
    when 'strip' then 'covered with stripper' when 'brighten' then 'covered with brightener'
    when 'rinse' then 'rinsed' when 'final rinse' then 'final rinse done' when 'coat' then 'coated'
    when 'protect' then 'covered up' when 'prewet' then 'plants wetted' when 'patch' then 'test patch ended'
    else coalesce({STEP}, '') || ' done' end"""
RESULT = """case json_extract(e.data, '$.result') when 'loose' then 'old finish lets go'
    when 'partly' then 'old finish partly off' when 'stuck' then 'old finish still stuck' else 'looked at' end"""
SUN = """case json_extract(e.data, '$.sun') when 1 then ', sun' when 0 then ', no sun' else '' end
    || case json_extract(e.data, '$.rain') when 1 then ', rain' when 0 then ', no rain' else '' end"""
WEATHER = (
    f"{told('air_temp', ', air ')} || {told('surface_temp', ', boards ')} || {slot('humidity', ', humidity ')} "
    f"|| {told('wind', ', wind ')} || {SUN}"
)
STRENGTH = f"case when json_extract(e.data, '$.strength.mass') is null then '' else ', ' || {amount('strength.mass')} || ' to ' || {amount('strength.per')} end"  # noqa: E501
BOUGHT = f"{amount('mass')} || {amount('volume')} || ' of ' || {slot('product')}"
READINGS = "(select group_concat(printf('%g', value), ', ') from json_each(json_extract(e.data, '$.readings')))"
SENTENCES = f"""case e.kind
    when 'start' then {STARTED}
    when 'finish' then {AT} || {FINISHED}
    when 'rewet' then {AT} || 'misted' || {slot("with", " with ")}
    when 'check' then {RESULT} || {ON}
    when 'patch' then 'test patch' || {slot("product", " of ")} || {slot("minutes", ", minutes ")} || ', ' || {RESULT}
    when 'extend' then {slot("minutes")} || ' min more' || {ON}
    when 'hold' then 'work held' || {slot("reason", ": ")}
    when 'resume' then 'work goes on'
    when 'moisture' then {AT} || 'moisture ' || coalesce({READINGS}, '') || ' %'
    when 'ph' then {AT} || 'pH ' || {slot("value")}
    when 'conditions' then 'weather: ' || ltrim({WEATHER}, ', ')
    when 'measure' then {AT} || 'measured' || {told("area", ", ")}
    when 'mix' then 'asked how to mix ' || {amount("volume")} || {slot("product", " of ")}
    when 'mixed' then 'mixed ' || {amount("volume")} || ' of ' || {slot("product")} || {STRENGTH}
    when 'used' then {weighed("taken")} || ' of ' || {slot("product")} || ' off the shelf'
    when 'restock' then case when json_extract(e.data, '$.counted') then 'counted ' else 'bought ' end || {BOUGHT}
        || {slot("cost", " for ")}
    when 'leftover' then {amount("volume")} || ' of mixed ' || {slot("product")} || ' left over'
    when 'price' then {BOUGHT} || {slot("cost", " costs ")}
    when 'charge' then 'charged the client ' || {slot("amount")}
    when 'arrive' then 'on site'
    when 'leave' then 'gone'
    when 'incident' then 'INCIDENT: ' || {slot("kind")}
    when 'note' then 'note: ' || {slot("text")}
    when 'photo' then 'photo' || {ON} || {slot("text", ": ")}
    when 'job' then case json_extract(e.data, '$.action') when 'open' then 'opened the job ' || {slot("name")}
        when 'close' then 'closed the job' else 'the job is called ' || {slot("name")} end
    when 'survey' then 'site: ' || coalesce({PAIRS}, '')
    when 'set' then 'own figures for ' || {slot("product")}
    when 'pace' then 'pace told for ' || {slot("step")}
    when 'flow' then 'water supply told'
    when 'rang' then 'reminder: ' || {slot("reminder")} || {ON} || {slot("cause", ", ")}
    when 'answered' then 'saw the reminder' || {ON}
    when 'warned' then 'was told what is missing: ' || coalesce({KEYS}, '')
    when 'settings' then 'set ' || coalesce({PAIRS}, '')
    when 'refused' then 'refused: ' || replace({slot("reason")}, '_', ' ')
    when 'client' then 'notice for the client'
    when 'coat' then 'asked for finish-coat quantities' || {ON}
    when 'joined' then {slot("name")} || ' joined'
    when 'removed' then {slot("name")} || ' was taken out'
    when 'undo' then 'took something back' || {slot("entry", ", entry ")}
    when 'amend' then 'put something right' || {slot("entry", ", entry ")}
    else e.kind end"""
# Who did it, where another is named than told it.
DOER = "coalesce((select group_concat(value, ', ') from json_each(e.data, '$.by')), p.name)"
NAMED = "entries e left join jobs j on j.id = e.job left join people p on p.id = e.person"
LOCAL = "replace(substr({0}.local, 1, 16), 'T', ' ')"


def factor(path: str, alias: str = "e") -> str:
    """SQL for grams (of a mass) or litres (of a volume) out of a quantity in an entry's data."""
    value, unit = (f"json_extract({alias}.data, '$.{path}.{x}')" for x in ("value", "unit"))
    cases = " ".join(f"when '{u}' then {f}" for u, f in {**FACTORS, **LITRES}.items())
    return f"{value} * case {unit} {cases} end"


def of_mass(path: str, alias: str = "e") -> str:
    """SQL that is true where a quantity is a mass."""
    return f"json_extract({alias}.data, '$.{path}.unit') in ({', '.join(repr(u) for u in FACTORS)})"


TIMELINE = f"""
    select e.id, substr(e.local, 1, 16) as local,
           substr(e.local, 12, 5) || ' ' || coalesce({DOER} || ': ', '') || {SENTENCES}
               || case when e.undone is null then '' else ' (undone)' end as said,
           case when e.job < 0 then 'practice' else j.name end as job, {DOER} as who, e.kind, {WHERE} as sections,
           e.words, e.data,
           case when e.undone is null then '' else 'undone' end as state, e.undone as undone_by, e.zone
    from {NAMED} order by e.at, e.id"""

DWELL = f"""
    with passes as (
        select e.job, x.value as section, {STEP} as step, json_extract(e.data, '$.product') as product, e.at, e.local,
               row_number() over w as pass, lead(e.at) over w as following
        from entries e, json_each(e.sections) x
        where e.kind = 'start' and e.undone is null and {STEP} in ('strip', 'brighten') and coalesce(e.job, 0) >= 0
        window w as (partition by e.job, x.value, {STEP} order by e.at, e.id)
    ), rinses as (
        select e.job, x.value as section, e.at, e.local, e.kind from entries e, json_each(e.sections) x
        where e.kind in ('start', 'finish') and e.undone is null and {STEP} in ('rinse', 'final rinse')
    ), spans as (
        select p.*, (select min(r.at) from rinses r where r.job = p.job and r.section = p.section and r.at >= p.at
                     and (p.following is null or r.at <= p.following)) as off from passes p
    )
    select j.name as job, s.section, s.pass, s.step, s.product, {LOCAL.format("s")} as first_edge,
           (select {LOCAL.format("r")} from rinses r where r.job = s.job and r.section = s.section and r.at = s.off)
               as rinse_begun,
           cast(round((julianday(s.off) - julianday(s.at)) * 1440) as integer) as minutes
    from spans s left join jobs j on j.id = s.job order by s.at"""

BATCHES = f"""
    select {LOCAL.format("e")} as mixed_at, j.name as job,
           row_number() over (partition by e.job order by e.at, e.id) as batch,
           {DOER} as who, json_extract(e.data, '$.product') as product, {amount("volume")} as volume,
           round({factor("strength.mass")} / 28.349523125 / ({factor("strength.per")} / 3.785411784), 2) as oz_per_gal,
           {weighed("taken")} as off_the_shelf, {amount("water_temp")} as water
    from {NAMED} where e.kind = 'mixed' and e.undone is null order by e.at, e.id"""

READING = f"""
    select {LOCAL.format("e")} as read_at, j.name as job, x.value as section,
           case e.kind when 'ph' then 'pH' else 'moisture %' end as what,
           case e.kind when 'ph' then printf('%g', json_extract(e.data, '$.value')) else {READINGS} end as readings,
           (select round(avg(value), 1) from json_each(json_extract(e.data, '$.readings'))) as mean,
           (select max(value) from json_each(json_extract(e.data, '$.readings'))) as wettest, {DOER} as who
    from {NAMED}, json_each(e.sections) x where e.kind in ('moisture', 'ph') and e.undone is null order by e.at, e.id"""

PRICES = f"""
    select e.at, e.id, json_extract(e.data, '$.product') as product,
           case when json_extract(e.data, '$.mass') is null then 'volume' else 'mass' end as sort,
           json_extract(e.data, '$.cost') / coalesce({factor("mass")}, {factor("volume")}) as each
    from entries e where e.kind in ('restock', 'price') and e.undone is null and json_extract(e.data, '$.cost') is not null"""

COSTS = f"""
    with prices as ({PRICES}), used as (
        select e.*, coalesce({factor("taken")}, {factor("volume")}) as much,
               case when {of_mass("taken")} then 'mass' else 'volume' end as sort
        from entries e where e.kind = 'mixed' and e.undone is null
    )
    select {LOCAL.format("e")} as mixed_at, j.name as job, json_extract(e.data, '$.product') as product,
           {amount("volume")} as volume, {weighed("taken")} as off_the_shelf,
           round(e.much * coalesce(
               (select t.each from prices t where t.product = json_extract(e.data, '$.product') and t.sort = e.sort
                and t.at <= e.at order by t.at desc, t.id desc limit 1),
               (select t.each from prices t where t.product = json_extract(e.data, '$.product') and t.sort = e.sort
                order by t.at, t.id limit 1)), 2) as cost
    from used e left join jobs j on j.id = e.job order by e.at, e.id"""

PURCHASES = f"""
    select {LOCAL.format("e")} as told_at, {DOER} as who, json_extract(e.data, '$.product') as product,
           case e.kind when 'price' then 'priced' else
               case when json_extract(e.data, '$.counted') then 'counted' else 'bought' end end as what,
           {amount("mass")} || {amount("volume")} as amount, json_extract(e.data, '$.cost') as cost
    from {NAMED} where e.kind in ('restock', 'price') and e.undone is null order by e.at, e.id"""

HOURS = """
    with visits as (
        select e.*, coalesce(json_extract(e.data, '$.person'), e.person) as visitor from entries e
        where e.kind in ('arrive', 'leave') and e.undone is null
    ), stays as (
        select e.*, (select min(l.at) from visits l where l.kind = 'leave' and l.job = e.job and l.visitor = e.visitor
                     and l.at > e.at and julianday(l.at) - julianday(e.at) < 2.0 / 3) as gone
        from visits e where e.kind = 'arrive'
    )
    select substr(e.local, 1, 10) as day, j.name as job, p.name as who, substr(e.local, 12, 5) as came,
           (select substr(l.local, 12, 5) from visits l where l.kind = 'leave' and l.job = e.job and l.visitor = e.visitor
            and l.at = e.gone) as went,
           round((julianday(e.gone) - julianday(e.at)) * 24, 2) as hours
    from stays e left join jobs j on j.id = e.job left join people p on p.id = e.visitor
    where not exists (select 1 from stays b where b.job = e.job and b.visitor = e.visitor and b.id != e.id and b.at < e.at
                      and julianday(e.at) - julianday(b.at) < 2.0 / 3 and (b.gone is null or b.gone > e.at))
    order by e.at, e.id"""

VIEWS = {
    "timeline": TIMELINE,
    "dwell_by_section": DWELL,
    "batches": BATCHES,
    "readings": READING,
    "costs": COSTS,
    "purchases": PURCHASES,
    "hours": HOURS,
}
