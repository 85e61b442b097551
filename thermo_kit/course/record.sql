-- The record of one learner, version 3. Statements stand in paragraphs; the last ones take over what the JSON record of
-- versions 1 and 2 held (:old, '{}' where there is none; :offset, the learner's own offset from UTC).

CREATE TABLE answers (
    number INTEGER PRIMARY KEY, question TEXT NOT NULL, topic TEXT NOT NULL, is_right INTEGER NOT NULL,
    mistake TEXT NOT NULL, at TEXT NOT NULL, mode TEXT NOT NULL, text TEXT NOT NULL)

CREATE TABLE predictions (
    number INTEGER PRIMARY KEY, name TEXT NOT NULL, text TEXT NOT NULL,
    value REAL CHECK (value IS NULL OR typeof(value) = 'real'), unit TEXT NOT NULL, at TEXT NOT NULL)

CREATE TABLE outcomes (number INTEGER PRIMARY KEY, text TEXT NOT NULL, value REAL, at TEXT NOT NULL)

CREATE TABLE scores (
    number INTEGER PRIMARY KEY, kind TEXT NOT NULL, name TEXT NOT NULL,
    points REAL NOT NULL CHECK (typeof(points) = 'real'), out_of REAL NOT NULL CHECK (typeof(out_of) = 'real'),
    at TEXT NOT NULL)

CREATE TABLE state (name TEXT PRIMARY KEY, data TEXT NOT NULL)

CREATE INDEX answers_by_question ON answers (question, number)

CREATE INDEX predictions_by_name ON predictions (name, number)

CREATE TRIGGER answers_stay BEFORE UPDATE ON answers BEGIN SELECT RAISE(ABORT, 'only added'); END

CREATE TRIGGER answers_stay_there BEFORE DELETE ON answers BEGIN SELECT RAISE(ABORT, 'only added'); END

CREATE TRIGGER predictions_stay BEFORE UPDATE ON predictions BEGIN SELECT RAISE(ABORT, 'only added'); END

CREATE TRIGGER predictions_stay_there BEFORE DELETE ON predictions BEGIN SELECT RAISE(ABORT, 'only added'); END

CREATE TRIGGER outcomes_stay BEFORE UPDATE ON outcomes BEGIN SELECT RAISE(ABORT, 'only added'); END

CREATE TRIGGER outcomes_stay_there BEFORE DELETE ON outcomes BEGIN SELECT RAISE(ABORT, 'only added'); END

CREATE TRIGGER scores_stay BEFORE UPDATE ON scores BEGIN SELECT RAISE(ABORT, 'only added'); END

CREATE TRIGGER scores_stay_there BEFORE DELETE ON scores BEGIN SELECT RAISE(ABORT, 'only added'); END

CREATE VIEW predicted AS
    SELECT p.name, p.text, p.value, p.unit, p.at, o.text AS came, o.value AS came_value, o.at AS came_at, p.number
    FROM predictions p LEFT JOIN outcomes o ON o.number = p.number

CREATE VIEW entries AS
    SELECT at, mode AS entry, question AS name, topic, text, NULL AS value_SI, is_right AS points, 1 AS out_of, mistake
    FROM answers
    UNION ALL SELECT at, 'prediction', name, '', text, value, NULL, NULL, '' FROM predictions
    UNION ALL SELECT came_at, 'what came', name, '', came, came_value, NULL, NULL, '' FROM predicted
    WHERE came_at IS NOT NULL
    UNION ALL SELECT at, 'result of ' || kind, name, '', '', NULL, points, out_of, '' FROM scores

CREATE VIEW newest AS
    SELECT at FROM (SELECT at FROM answers ORDER BY number DESC LIMIT 1)
    UNION ALL SELECT at FROM (SELECT at FROM predictions ORDER BY number DESC LIMIT 1)
    UNION ALL SELECT at FROM (SELECT at FROM scores ORDER BY number DESC LIMIT 1)

CREATE VIEW worked AS
    SELECT lesson, sum(gap) * 1440 AS minutes FROM (
        SELECT substr(name, 1, 2) AS lesson,
        julianday(at) - lag(julianday(at)) OVER (PARTITION BY substr(name, 1, 2) ORDER BY julianday(at)) AS gap
        FROM entries WHERE entry IN ('lesson', 'exercise', 'prediction', 'what came'))
    WHERE gap < 10.0 / 1440 GROUP BY lesson

INSERT INTO state SELECT 'order_seed', json_quote(json_extract(:old, '$.order_seed'))
    WHERE json_extract(:old, '$.order_seed') <> ''

INSERT INTO answers (question, topic, is_right, mistake, at, mode, text)
    SELECT key, '', json_extract(value, '$.right'), '', date(json_extract(value, '$.on')) || 'T12:00:00' || :offset,
    'lesson', json_extract(value, '$.text')
    FROM json_each(:old, '$.quick_questions')

INSERT INTO predictions (name, text, value, unit, at)
    SELECT named.key, json_extract(one.value, '$.text'), json_extract(one.value, '$.value'), '',
    date(json_extract(one.value, '$.on')) || 'T12:00:00' || :offset
    FROM json_each(:old, '$.predictions') AS named, json_each(named.value) AS one

INSERT INTO scores (kind, name, points, out_of, at)
    SELECT iif(part.key = 'practice', 'exercise', 'exit check'), named.key, json_extract(one.value, '$.right'),
    json_extract(one.value, '$.out_of'), date(json_extract(one.value, '$.on')) || 'T12:00:00' || :offset
    FROM json_each(:old) AS part, json_each(part.value) AS named, json_each(named.value) AS one
    WHERE part.key IN ('exit_checks', 'practice')

PRAGMA user_version = 3
