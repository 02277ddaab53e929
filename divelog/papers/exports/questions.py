"""The questions people ask of a log, and the view of the database that answers each.

Trends: the median of the slopes between all pairs of readings (P. K. Sen, "Estimates of the regression coefficient based
on Kendall's tau", J. Am. Stat. Assoc. 63, 1968), of the newest 200 readings of one segment, in like volts where volts are
known; silent under six readings. Segments end at every change of the part they are about.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Question:
    """A question, the view that answers it, how its rows are read, and the SELECT behind it."""

    number: int
    question: str
    view: str
    reads: str
    sql: str


BASE: tuple[tuple[str, str], ...] = (
    (
        "segments",
        """
        SELECT r.*, row_number() OVER (PARTITION BY boat, quantity, item, segment ORDER BY at DESC) AS newest,
               avg(volts) OVER (PARTITION BY boat, quantity, item, segment) AS usual_volts,
               latest AS in_force
        FROM readings r""",
    ),
    (
        "like_readings",
        """
        SELECT * FROM segments
        WHERE newest <= 200 AND (volts IS NULL OR usual_volts IS NULL OR abs(volts - usual_volts) <= 0.03 * usual_volts)""",
    ),
    (
        "pair_slopes",
        """
        SELECT a.boat, a.quantity, a.item, a.segment,
               (b.value - a.value) / nullif(b.hours - a.hours, 0) AS per_hour,
               (b.value - a.value) / nullif(b.days - a.days, 0) AS per_day
        FROM like_readings a JOIN like_readings b
          ON a.boat IS b.boat AND a.quantity = b.quantity AND a.item IS b.item AND a.segment = b.segment AND a.at < b.at""",
    ),
    (
        "ranked_slopes",
        """
        SELECT boat, quantity, item, segment, per_hour, per_day,
               row_number() OVER (PARTITION BY boat, quantity, item, segment, per_hour IS NULL ORDER BY per_hour) AS h,
               count(per_hour) OVER (PARTITION BY boat, quantity, item, segment) AS hn,
               row_number() OVER (PARTITION BY boat, quantity, item, segment, per_day IS NULL ORDER BY per_day) AS d,
               count(per_day) OVER (PARTITION BY boat, quantity, item, segment) AS dn
        FROM pair_slopes""",
    ),
    (
        "trends",
        """
        SELECT l.boat, l.quantity, l.item, l.segment, l.readings, l.first_day, l.last_day, l.first_value, l.last_value,
               l.in_force, l.cut, CASE WHEN l.readings >= 6 THEN s.per_hour END AS per_hour,
               CASE WHEN l.readings >= 6 THEN s.per_day END AS per_day
        FROM (SELECT DISTINCT boat, quantity, item, segment, in_force, cut,
                     count(*) OVER w AS readings, first_value(day) OVER w AS first_day, last_value(day) OVER w AS last_day,
                     first_value(value) OVER w AS first_value, last_value(value) OVER w AS last_value
              FROM like_readings
              WINDOW w AS (PARTITION BY boat, quantity, item, segment ORDER BY at
                           ROWS BETWEEN UNBOUNDED PRECEDING AND UNBOUNDED FOLLOWING)) l
        LEFT JOIN (SELECT boat, quantity, item, segment,
                          avg(CASE WHEN per_hour IS NOT NULL AND h IN ((hn + 1) / 2, (hn + 2) / 2) THEN per_hour END) AS per_hour,
                          avg(CASE WHEN per_day IS NOT NULL AND d IN ((dn + 1) / 2, (dn + 2) / 2) THEN per_day END) AS per_day
                   FROM ranked_slopes GROUP BY boat, quantity, item, segment) s
          ON s.boat IS l.boat AND s.quantity = l.quantity AND s.item IS l.item AND s.segment = l.segment""",
    ),
    ("moment", "SELECT value AS now FROM about WHERE key = 'made'"),
)
"""Views that others stand on, in order."""


def _q(number: int, question: str, view: str, reads: str, sql: str) -> Question:
    return Question(number, question, view, reads, sql)


QUESTIONS: tuple[Question, ...] = (
    _q(1, "Is the pump getting slower?", "pump_times",
       "seconds a stroke gained in each shaft hour, since the last change of the ballast; silent under six readings",
       """
       SELECT boat, quantity, segment, cut AS since_change, readings, first_day, last_day, first_value AS first_s,
              last_value AS last_s, per_hour AS slower_s_per_h, in_force
       FROM trends WHERE quantity IN ('ballast.fill_time', 'ballast.empty_time')"""),
    _q(2, "How many shaft hours since the seal was greased? Since it was renewed?", "hours_since_seal",
       "shaft hours of all runs ended after the newest greasing, and after the newest renewal",
       """
       SELECT p.boat, p.part AS seal,
              (SELECT max(s.at) FROM services s WHERE s.boat = p.boat AND (s.item = 'seal.' || replace(p.part, ' ', '_')
                 OR (s.item = 'shaft_grease' AND p.part LIKE '%shaft%'))) AS greased,
              (SELECT sum(r.shaft_h) FROM runs r WHERE r.boat = p.boat AND r.end > (SELECT max(s.at) FROM services s
                 WHERE s.boat = p.boat AND (s.item = 'seal.' || replace(p.part, ' ', '_')
                   OR (s.item = 'shaft_grease' AND p.part LIKE '%shaft%')))) AS hours_since_greased,
              p.since AS renewed,
              (SELECT sum(r.shaft_h) FROM runs r WHERE r.boat = p.boat AND r.end >= p.since) AS hours_since_renewed
       FROM parts p WHERE p.kind = 'seal'"""),
    _q(3, "Did the trim change since the new pack?", "trim_by_pack",
       "her dived balance as read with each pack, with the water it was read in and the lead moved since the first run"
       " on it",
       """
       SELECT u.boat, u.pack, u.first_run, k.mass_g AS pack_mass_g,
              (SELECT count(*) FROM changes c WHERE c.boat = u.boat AND c.kind = 'mass.moved' AND c.at >= u.first_run) AS moves,
              (SELECT sum(c.mass_change_g) FROM changes c WHERE c.boat = u.boat AND c.kind = 'mass.moved'
                 AND c.at >= u.first_run) AS moved_g,
              b.day AS balance_day, b.value * 1000 AS dived_balance_g, d.site, d.water, d.temperature_C
       FROM (SELECT boat, pack, min(start) AS first_run FROM runs WHERE pack IS NOT NULL GROUP BY boat, pack) u
       LEFT JOIN packs k ON k.pack = u.pack
       LEFT JOIN (SELECT boat, at, day, value FROM measured WHERE path IN ('boat.dived_balance', 'dived_balance')
                  UNION ALL SELECT boat, at, day, value FROM answers WHERE key = 'buoyancy.dived' AND item IS NULL) b
         ON b.boat = u.boat AND (SELECT r.pack FROM runs r WHERE r.boat = u.boat AND r.start >= b.at ORDER BY r.start LIMIT 1)
            IS u.pack
       LEFT JOIN days d ON d.id = (SELECT x.id FROM days x WHERE x.opened <= b.at ORDER BY x.opened DESC LIMIT 1)"""),
    _q(4, "Is she leaking more than last month, from the same end?", "leaks_by_month",
       "water found by month and end, over the hours of the runs that were looked into",
       """
       SELECT w.boat, substr(w.day, 1, 7) AS month, w.end, count(*) AS looks, sum(w.amount_mL) AS water_mL,
              max(w.amount_mL) AS most_mL, sum(r.minutes) / 60.0 AS hours,
              sum(w.amount_mL) / nullif(sum(r.minutes) / 60.0, 0) AS mL_per_hour
       FROM waters w LEFT JOIN runs r ON r.run = w.run
       WHERE w.looked IN ('opened', 'window') AND w.amount_mL IS NOT NULL GROUP BY w.boat, month, w.end"""),
    _q(5, "Was that water only sweat?", "water_or_sweat",
       "each find against what sweat could give then, with air and damp at the closing before it",
       """
       SELECT w.boat, w.at, w.word, w.amount_mL, w.u95_mL, w.end, w.allowance_mL,
              CASE WHEN w.flooded THEN 'flooded' WHEN w.amount_mL IS NULL THEN 'amount not known'
                   WHEN w.allowance_mL IS NULL THEN 'nothing written down to compare with'
                   WHEN w.amount_mL - coalesce(w.u95_mL, 0) > w.allowance_mL THEN 'more than sweat'
                   WHEN w.amount_mL > w.allowance_mL THEN 'perhaps more than sweat' ELSE 'no more than sweat' END AS says,
              c.air_temperature_C AS closed_at_C, c.humidity_percent AS closed_damp_percent
       FROM waters w LEFT JOIN (SELECT boat, at, air_temperature_C, humidity_percent FROM closings WHERE way = 'closed'
                                GROUP BY id) c
         ON c.boat = w.boat AND c.at = (SELECT max(x.at) FROM closings x WHERE x.boat = w.boat AND x.way = 'closed'
                                        AND x.at < w.at)"""),
    _q(6, "Which seal was last opened before the leak?", "opened_before_leak",
       "for each find over its allowance, the closures touched last before its run",
       """
       SELECT w.boat, w.at AS leak, w.amount_mL, w.end, c.closure, c.way, c.at AS touched, c.lifted
       FROM waters w JOIN closings c
         ON c.boat = w.boat AND c.way IN ('opened', 'fitted') AND c.at = (SELECT max(x.at) FROM closings x
            WHERE x.boat = w.boat AND x.way IN ('opened', 'fitted')
              AND x.at < coalesce((SELECT r.start FROM runs r WHERE r.run = w.run), w.at))
       WHERE w.over"""),
    _q(7, "What does one run cost in A h? A minute at depth?", "charge_by_run",
       "charge of each run with how it is known, over its minutes and over the minutes dived",
       """
       SELECT boat, run, day, pack, minutes, dived_min, deepest_m, charge_Ah, charge_u95_Ah, charge_how,
              charge_Ah / nullif(minutes, 0) AS Ah_per_min, charge_Ah / nullif(dived_min, 0) AS Ah_per_dived_min
       FROM runs WHERE charge_Ah IS NOT NULL"""),
    _q(8, "How long can I run today, with this pack at this temperature?", "minutes_today",
       "the limit as worked out at the moment of the export; beside it, what the past says of each pack at its highest rate,"
       " three tenths kept back",
       """
       SELECT b.boat, p.pack, (SELECT shown FROM limits l WHERE l.boat = b.boat AND l.key = 'battery.endurance' LIMIT 1)
                AS limit_today, count(r.run) AS runs, avg(r.charge_Ah / nullif(r.minutes, 0)) AS mean_Ah_per_min,
              max(r.charge_Ah / nullif(r.minutes, 0)) AS most_Ah_per_min, coalesce(p.measured_Ah, p.label_Ah) AS holds_Ah,
              p.measured_on, 0.7 * coalesce(p.measured_Ah, p.label_Ah) / max(r.charge_Ah / nullif(r.minutes, 0))
                AS minutes_at_most
       FROM boats b JOIN runs r ON r.boat = b.boat AND r.charge_Ah IS NOT NULL JOIN packs p ON p.pack = r.pack
       GROUP BY b.boat, p.pack"""),
    _q(9, "Is this pack ageing faster than its twin?", "packs_side_by_side",
       "pairs of one chemistry, cell count and label; resistance and what each holds, charges and their trend a year",
       """
       SELECT a.pack, b.pack AS twin, a.chemistry, a.cells, a.label_Ah, a.measured_Ah, b.measured_Ah AS twin_measured_Ah,
              a.resistance_mohm, b.resistance_mohm AS twin_resistance_mohm,
              (SELECT count(*) FROM charges c WHERE c.pack = a.pack) AS charges,
              (SELECT count(*) FROM charges c WHERE c.pack = b.pack) AS twin_charges,
              (SELECT 365.25 * 1000 * t.per_day FROM trends t WHERE t.quantity = 'pack.resistance' AND t.item = a.pack
                 AND t.in_force) AS mohm_per_year,
              (SELECT 365.25 * 1000 * t.per_day FROM trends t WHERE t.quantity = 'pack.resistance' AND t.item = b.pack
                 AND t.in_force) AS twin_mohm_per_year
       FROM packs a JOIN packs b ON a.pack < b.pack AND a.chemistry = b.chemistry AND a.cells = b.cells
         AND a.label_Ah = b.label_Ah"""),
    _q(10, "When did I last prove failsafe, and on which binding?", "failsafe_proved",
       "the newest proof of each kind, the binding in force then, and whether she was bound again since",
       """
       SELECT b.boat, p.proof, g.at AS proved, g.list, g.line,
              (SELECT max(c.at) FROM changes c WHERE c.boat = b.boat AND c.kind = 'radio.changed' AND c.part LIKE '%bound%'
                 AND c.at <= g.at) AS bound,
              (SELECT count(*) FROM changes c WHERE c.boat = b.boat AND c.kind = 'radio.changed' AND c.part LIKE '%bound%'
                 AND c.at > g.at) > 0 AS bound_again_since, s.state, s.because
       FROM boats b JOIN (SELECT 'failsafe_bench' AS proof UNION ALL SELECT 'failsafe_wet') p
       LEFT JOIN answers g ON g.id = (SELECT x.id FROM answers x WHERE x.boat = b.boat
          AND (', ' || x.gives || ',') LIKE '%, ' || p.proof || ',%' ORDER BY x.at DESC LIMIT 1)
       LEFT JOIN proofs s ON s.boat = b.boat AND s.proof = p.proof"""),
    _q(11, "Has failsafe ever tripped for real, and did every channel do right?", "failsafe_for_real",
       "every real trip; wrong names the channels that did not do right",
       """
       SELECT t.boat, t.at, t.run, t.trigger, t.channels, t.wrong, t.wrong IS NULL AS all_right, t.seconds, r.site
       FROM trips t LEFT JOIN runs r ON r.run = t.run WHERE t.real"""),
    _q(12, "At what depth and distance does the link drop, by site and set?", "link_lost_where",
       "drops and losses by site, transmitter and band: how many, the nearest and the shallowest",
       """
       SELECT s.boat, r.site, r.transmitter, b.band, count(*) AS times, min(s.distance_m) AS nearest_m,
              max(s.distance_m) AS farthest_m, min(s.depth_m) AS shallowest_m, max(s.depth_m) AS deepest_m
       FROM signals s LEFT JOIN runs r ON r.run = s.run LEFT JOIN boats b ON b.boat = s.boat
       WHERE s.kind IN ('drop', 'lost') GROUP BY s.boat, r.site, r.transmitter, b.band"""),
    _q(13, "Is the range check getting worse?", "range_checks",
       "paces at reduced power since the last change of the radio, and paces lost a year; silent under six",
       """
       SELECT boat, segment, cut AS since_change, readings, first_day, last_day, first_value AS first_paces,
              last_value AS last_paces, 365.25 * per_day AS paces_per_year, in_force
       FROM trends WHERE quantity = 'radio.check_paces'"""),
    _q(14, "Do faults follow the boat, the transmitter or the pack?", "faults_follow",
       "runs with an incident, a signal fault or a real trip, by each thing that was in the run",
       """
       WITH used AS (
         SELECT 'boat' AS kind, boat AS name, run, incidents, signals FROM runs UNION ALL
         SELECT 'transmitter', transmitter, run, incidents, signals FROM runs UNION ALL
         SELECT 'receiver', receiver, run, incidents, signals FROM runs UNION ALL
         SELECT 'pack', pack, run, incidents, signals FROM runs)
       SELECT kind, name, count(*) AS runs,
              sum(incidents > 0 OR signals > 0 OR EXISTS (SELECT 1 FROM trips t WHERE t.run = used.run AND t.real)) AS with_fault,
              1.0 * sum(incidents > 0 OR signals > 0
                        OR EXISTS (SELECT 1 FROM trips t WHERE t.run = used.run AND t.real)) / count(*) AS share
       FROM used WHERE name IS NOT NULL GROUP BY kind, name"""),
    _q(15, "Is it worse with the pump or motor on?", "faults_with_motor_or_pump",
       "signal faults by what was running then",
       """
       SELECT boat, CASE motor_on WHEN 1 THEN 'on' WHEN 0 THEN 'off' ELSE 'not said' END AS motor,
              CASE pump_on WHEN 1 THEN 'on' WHEN 0 THEN 'off' ELSE 'not said' END AS pump, count(*) AS faults,
              sum(kind = 'lost') AS lost, sum(kind = 'drop') AS dropped, sum(kind = 'glitch') AS glitches
       FROM signals WHERE kind <> 'back' GROUP BY boat, motor, pump"""),
    _q(16, "What is the deepest dive ever proved dry, and by which seals?", "deepest_dry",
       "the deepest run, by its depth less its plus or minus, that was opened or seen and found within its allowance;"
       " guessed depths prove nothing",
       """
       SELECT * FROM (
         SELECT r.boat, r.run, r.day, r.deepest_m - coalesce(r.deepest_u95_m, 0) AS proved_m, r.deepest_m, r.deepest_how,
                w.word, (SELECT group_concat(p.part || CASE WHEN p.since > r.day THEN ', renewed afterwards'
                            ELSE ' since ' || coalesce(p.since, 'unknown') END, '; ')
                         FROM parts p WHERE p.boat = r.boat AND p.kind = 'seal') AS seals,
                row_number() OVER (PARTITION BY r.boat ORDER BY r.deepest_m - coalesce(r.deepest_u95_m, 0) DESC) AS place
         FROM runs r JOIN waters w ON w.run = r.run
         WHERE r.deepest_how IN ('sensor', 'seen') AND w.looked IN ('opened', 'window') AND NOT w.over
           AND w.amount_mL IS NOT NULL) WHERE place = 1"""),
    _q(17, "How many times has each seal been closed?", "closings_by_seal",
       "closings in all, and since it was last fitted anew; a new part counts as one",
       """
       SELECT boat, closure, sum(way <> 'opened') AS closings, sum(way = 'opened') AS openings,
              sum(way <> 'opened' AND at >= coalesce((SELECT max(x.at) FROM closings x WHERE x.boat = closings.boat
                AND x.closure = closings.closure AND x.way = 'fitted'), '')) AS closings_since_fitted,
              max(CASE WHEN way <> 'opened' THEN at END) AS last_closed
       FROM closings GROUP BY boat, closure"""),
    _q(18, "How old is everything before the season?", "age_of_everything",
       "days since each part was put in, oldest first; what nobody wrote down counts as due",
       """
       SELECT boat, kind, part, since, how, CAST(julianday((SELECT now FROM moment)) - julianday(since) AS INTEGER) AS days
       FROM parts ORDER BY since IS NOT NULL, since"""),
    _q(19, "Which line is skipped most, and did something follow?", "skipped_lines",
       "skips by line; followed counts those with an incident, water over allowance or a defect on the same day after it",
       """
       SELECT s.boat, s.list, s.line, count(*) AS skips, group_concat(DISTINCT s.reason) AS reasons,
              sum(EXISTS (SELECT 1 FROM incidents i WHERE i.boat = s.boat AND i.day = s.day AND i.at > s.at)
                  OR EXISTS (SELECT 1 FROM waters w WHERE w.boat = s.boat AND w.day = s.day AND w.at > s.at AND w.over)
                  OR EXISTS (SELECT 1 FROM defects d WHERE d.boat = s.boat AND d.day = s.day AND d.at > s.at)) AS followed
       FROM skips s WHERE s.state = 'skipped' GROUP BY s.boat, s.list, s.line ORDER BY skips DESC"""),
    _q(20, "How long do my checks take, and where am I interrupted?", "time_of_checks",
       "walks that were completed, minutes from first to last answer with and without breaks, and the line most broken off",
       """
       SELECT boat, list, count(*) AS walks, sum(complete) AS completed, avg(CASE WHEN complete THEN seconds END) / 60.0 AS minutes,
              avg(CASE WHEN complete THEN seconds - away_s END) / 60.0 AS minutes_without_breaks, sum(pauses) AS breaks,
              (SELECT p.line FROM pauses p WHERE p.boat = walks.boat AND p.list = walks.list
                 GROUP BY p.line ORDER BY count(*) DESC, p.line LIMIT 1) AS most_broken_off
       FROM walks GROUP BY boat, list"""),
    _q(21, "What did I write about this pond last time?", "notes_by_site",
       "notes and incidents by site, newest first",
       """
       SELECT site, at, boat, 'note' AS kind, words, NULL AS depth_m FROM notes WHERE site IS NOT NULL
       UNION ALL
       SELECT r.site, i.at, i.boat, i.step, i.cause, i.depth_m FROM incidents i JOIN runs r ON r.run = i.run
       WHERE r.site IS NOT NULL
       ORDER BY site, at DESC"""),
    _q(22, "How much gas does a cycle take, and is the blow valve weeping?", "gas_by_cycle",
       "between two weighings of a bottle: grams gone, cycles of the runs between, grams a cycle, and grams a day where no"
       " cycle was run",
       """
       SELECT bottle, weighed, weighed_again, gone_g, cycles, CASE WHEN cycles > 0 THEN gone_g / cycles END AS g_per_cycle,
              CASE WHEN cycles = 0 THEN gone_g / nullif(julianday(weighed_again) - julianday(weighed), 0) END AS g_per_day_idle
       FROM (SELECT p.item AS bottle, p.before AS weighed, p.at AS weighed_again, 1000 * (p.mass_before - p.value) AS gone_g,
                    (SELECT coalesce(sum(x.cycles), 0) FROM runs x JOIN boats b ON b.boat = x.boat
                     WHERE b.ballast = 'gas' AND x.start >= p.before AND x.start < p.at) AS cycles
             FROM (SELECT item, at, value, lag(at) OVER w AS before, lag(value) OVER w AS mass_before FROM readings
                   WHERE quantity = 'bottle.weighed' WINDOW w AS (PARTITION BY item ORDER BY at)) p
             WHERE p.mass_before >= p.value)"""),
    _q(23, "Does the depth zero drift with temperature?", "depth_zero",
       "each reading of the zero afloat beside the water of that day",
       """
       SELECT a.boat, a.at, a.value AS zero_m, a.u95 AS zero_u95_m, d.temperature_C, d.site
       FROM answers a LEFT JOIN days d ON d.id = (SELECT x.id FROM days x WHERE x.opened <= a.at ORDER BY x.opened DESC LIMIT 1)
       WHERE (', ' || a.gives || ',') LIKE '%, depth_zero,%' OR (', ' || a.fails || ',') LIKE '%, depth_zero,%'
       ORDER BY a.boat, d.temperature_C"""),
    _q(24, "Which open defects did I sail with?", "sailed_with_defects",
       "every launch called over an open defect, with the reason given",
       "SELECT boat, at, words, reason, by, launch, defect FROM overrulings ORDER BY at"),
    _q(25, "How many hours has she had since overhaul? Since I have her?", "hours_in_all",
       "shaft hours in all, since the newest overhaul, and since she was received",
       """
       SELECT b.boat, (SELECT sum(shaft_h) FROM runs r WHERE r.boat = b.boat) AS hours,
              (SELECT count(*) FROM runs r WHERE r.boat = b.boat) AS runs,
              (SELECT max(at) FROM services s WHERE s.boat = b.boat AND s.item = 'overhaul') AS overhauled,
              (SELECT sum(shaft_h * (r.end > s.at)) FROM runs r, (SELECT max(at) AS at FROM services
                 WHERE boat = b.boat AND item = 'overhaul') s WHERE r.boat = b.boat AND s.at IS NOT NULL) AS hours_since_overhaul,
              (SELECT max(at) FROM hand_overs h WHERE h.boat = b.boat AND h.way = 'received') AS received,
              (SELECT sum(shaft_h) FROM runs r WHERE r.boat = b.boat AND r.end > coalesce((SELECT max(at) FROM hand_overs h
                 WHERE h.boat = b.boat AND h.way = 'received'), '')) AS hours_since_received
       FROM boats b"""),
    _q(26, "What has she cost in parts and consumables?", "cost_of_parts",
       "costs that were written down, by currency; those that are no plain amount are counted",
       """
       SELECT boat, currency, count(*) AS items, sum(amount) AS amount, sum(amount IS NULL) AS not_an_amount,
              min(day) AS first_day, max(day) AS last_day
       FROM costs GROUP BY boat, currency"""),
    _q(27, "What should I tell the buyer?", "for_the_buyer",
       "topic and words: hours, depth proved dry, incidents, open defects, proofs that stand, seals, packs",
       """
       SELECT boat, 'hours' AS topic, printf('%.1f shaft hours in %d runs', coalesce(hours, 0), runs) AS words FROM hours_in_all
       UNION ALL SELECT boat, 'dry', printf('proved dry to %.1f m, %s', proved_m, day) FROM deepest_dry
       UNION ALL SELECT boat, 'incident', day || ': ' || step || coalesce(printf(', %.1f m %s', depth_m, source), '')
                        || coalesce(', ' || cause, '') FROM incidents
       UNION ALL SELECT boat, 'defect', words || ', open since ' || day || CASE WHEN stops_launch THEN ', not to launch' ELSE '' END
                 FROM defects WHERE closed IS NULL
       UNION ALL SELECT boat, 'proof', proof || coalesce(' ' || item, '') || ' since ' || date(since) FROM proofs
                 WHERE state = 'proved'
       UNION ALL SELECT boat, 'seal', part || ' since ' || coalesce(since, 'unknown') FROM parts
                 WHERE kind = 'seal' AND boat IS NOT NULL
       UNION ALL SELECT DISTINCT r.boat, 'pack',
                        p.pack || coalesce(printf(': holds %.1f A h of %.1f', p.measured_Ah, p.label_Ah), '')
                 FROM runs r JOIN packs p ON p.pack = r.pack"""),
    _q(28, "Which boat should I take, given what is due and charged?", "which_boat",
       "fewest defects, then least due, then least to prove, charged packs first",
       """
       SELECT b.boat, b.name,
              (SELECT count(*) FROM defects d WHERE d.boat = b.boat AND d.closed IS NULL AND d.stops_launch) AS not_to_launch,
              (SELECT count(*) FROM due x WHERE x.boat = b.boat AND x.verdict = 'outside') AS overdue,
              (SELECT count(*) FROM due x WHERE x.boat = b.boat AND x.verdict IN ('too_close', 'unknown')) AS nearly_due,
              (SELECT count(*) FROM proofs p WHERE p.boat = b.boat AND p.required AND p.state IN ('to_prove', 'never', 'claimed'))
                AS to_prove,
              (SELECT group_concat(c.pack, ', ') FROM charges c WHERE c.charged_to = 'full'
                 AND c.at = (SELECT max(y.at) FROM charges y WHERE y.pack = c.pack)
                 AND EXISTS (SELECT 1 FROM runs r WHERE r.boat = b.boat AND r.pack = c.pack)
                 AND NOT EXISTS (SELECT 1 FROM runs r WHERE r.pack = c.pack AND r.start > c.at)) AS charged
       FROM boats b ORDER BY not_to_launch, overdue, nearly_due, charged IS NULL, to_prove, b.boat"""),
)  # fmt: skip
