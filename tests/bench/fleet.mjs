/**
 * A plain large fleet for the benches, made by PostgreSQL itself: `doors` doors at sites of 20, 6 rated parts each, 100
 * readings each over some 500 days, with a typing error, a rollover or a reset in one door of fifty. Nothing in it is
 * checked for correctness; the tests of correctness have data of their own.
 */
export async function makeFleet(client, { doors = 10_000, readings = 100, companyId } = {}) {
  const run = (sql, values = []) => client.query(sql, values);
  await run(`INSERT INTO company (id, name) VALUES ($1, 'Bench')`, [companyId]);
  await run(`INSERT INTO owner (company_id, id, name) SELECT $1, uuidv7(), 'Owner ' || n FROM generate_series(1, 20) n`, [companyId]);
  await run(
    `INSERT INTO site (company_id, id, owner_id, name, country_code, time_zone)
     SELECT $1, uuidv7(), o.id, 'Site ' || n, 'NO', (ARRAY['Europe/Oslo', 'America/Chicago', 'Asia/Tokyo', 'Australia/Sydney'])[1 + n % 4]
     FROM generate_series(1, $2::int) n JOIN owner o ON o.company_id = $1 AND o.name = 'Owner ' || (1 + n % 20)`,
    [companyId, Math.ceil(doors / 20)],
  );
  await run(
    `INSERT INTO door_type (company_id, id, name, kind, supply_volts, heated, width_mm, height_mm, min_cycle_seconds)
     SELECT $1, uuidv7(), 'Type ' || k, k::"DoorKind", 240, k = 'freezer', 2400, 3000, 6
     FROM unnest(ARRAY['freezer', 'cooler', 'dock']) k`,
    [companyId],
  );
  await run(
    `INSERT INTO position (company_id, id, door_type_id, kind, name, safety_device, drawn_x, drawn_y, ordinal, b10_cycles, b10_months,
       life_shape, shape_spread, rating_spread)
     SELECT $1, uuidv7(), t.id, p.kind, p.kind, false, 0.5, 0.5, p.ordinal, p.cycles, p.months, p.shape, 0.2, 0.4
     FROM door_type t, (VALUES ('drive-motor', 1, 1000000, NULL::int, 1.8), ('drive-chain', 2, 300000, NULL, 2.5),
       ('roller-bearings', 3, 500000, NULL, 1.5), ('fabric-panel', 4, 250000, NULL, 2.0), ('light-beam', 5, NULL, 72, 1.3),
       ('side-guides', 6, 400000, NULL, 2.2)) p(kind, ordinal, cycles, months, shape)
     WHERE t.company_id = $1`,
    [companyId],
  );
  await run(`INSERT INTO plan (company_id, id, door_type_id, name) SELECT $1, uuidv7(), id, 'Plan' FROM door_type WHERE company_id = $1`, [companyId]);
  await run(
    `INSERT INTO task (company_id, id, plan_id, name, safety, interval_cycles, interval_months, early_days, grace_days, minutes, source)
     SELECT $1, uuidv7(), p.id, t.name, t.safety, t.cycles, t.months, 14, t.grace, 45, 'bench'
     FROM plan p, (VALUES ('Safety inspection', true, NULL::bigint, 12, 0), ('Service', false, 60000, 6, 14), ('Chain', false, 100000, NULL, 30))
       t(name, safety, cycles, months, grace)
     WHERE p.company_id = $1`,
    [companyId],
  );
  await run(
    `INSERT INTO door (company_id, id, site_id, door_type_id, name, serial, width_mm, height_mm, installed_on)
     SELECT $1, uuidv7(), s.id, t.id, 'D-' || lpad(n::text, 5, '0'), 'SN' || n, 2400, 3000, current_date - 700
     FROM generate_series(1, $2::int) n
     JOIN site s ON s.company_id = $1 AND s.name = 'Site ' || (1 + (n - 1) / 20)
     JOIN door_type t ON t.company_id = $1 AND t.kind::text = (ARRAY['freezer', 'cooler', 'dock'])[1 + n % 3]
     ORDER BY n`,
    [companyId, doors],
  );
  await run(
    `INSERT INTO counter (company_id, id, door_id, fitted_at, modulus, start_cycles, start_value)
     SELECT $1, uuidv7(), id, now() - interval '600 days', 1000000, 0, 0 FROM door WHERE company_id = $1 ORDER BY id`,
    [companyId],
  );
  await run(
    `INSERT INTO fitted_part (company_id, id, door_id, position_id, fitted_at, fitted_cycles)
     SELECT $1, uuidv7(), d.id, p.id, now() - interval '550 days', CASE WHEN p.ordinal % 2 = 0 THEN 2000 END
     FROM door d JOIN position p ON p.company_id = d.company_id AND p.door_type_id = d.door_type_id
     WHERE d.company_id = $1 ORDER BY d.id, p.ordinal`,
    [companyId],
  );
  await run(
    `INSERT INTO completion (company_id, id, door_id, task_id, done_at)
     SELECT $1, uuidv7(), d.id, t.id, now() - make_interval(days => 30 + ('x' || substr(md5(d.name || t.name || k), 1, 4))::bit(16)::int % 300)
     FROM door d JOIN plan p ON p.company_id = d.company_id AND p.door_type_id = d.door_type_id
     JOIN task t ON t.company_id = p.company_id AND t.plan_id = p.id, generate_series(1, 2) k
     WHERE d.company_id = $1 ON CONFLICT DO NOTHING`,
    [companyId],
  );
  await addReadings(run, companyId, readings);
  await run('ANALYZE');
}

async function addReadings(run, companyId, readings) {
  await run(
    `INSERT INTO reading (company_id, id, door_id, counter_id, at, value, source)
     SELECT $1, uuidv7(), c.door_id, c.id, now() - make_interval(days => 5 * ($2::int - k), mins => (h >> 4) % 600),
       CASE WHEN h % 5000 = 7 AND k = 60 THEN (rate * 5 * k * 10)::bigint
            WHEN h % 50 = 9 AND k > 50 THEN (rate * 5 * (k - 50))::bigint
            WHEN h % 50 = 11 THEN (990000 + (rate * 5 * k)::bigint) % 1000000
            ELSE (rate * (5 * k + (k * 7919 + h) % 3))::bigint END,
       'form'
     FROM generate_series(1, $2::int) k,
       (SELECT id, door_id, h, 40 + h % 360 AS rate FROM
         (SELECT id, door_id, ('x' || substr(md5(door_id::text), 1, 7))::bit(28)::int AS h FROM counter WHERE company_id = $1) x) c
     ORDER BY k, h`,
    [companyId, readings],
  );
}
