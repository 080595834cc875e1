/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan as iCalendar, read back by a reader made from the text of RFC 5545 alone: content lines and folding (3.1),
 * escaped text (3.3.11), the grammar of a calendar with its events (3.4, 3.6, 3.6.1). */
#include "job_bench.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>

#include "mouldwright/report.h"

#define LINES_MAX 4000

typedef struct feed {
    mw_text raw;
    char *flat; /* unfolded, each line ended by NUL */
    char *lines[LINES_MAX];
    size_t count;
} feed;

/* 3.1: lines end in CRLF and have no more than 75 octets before it; CRLF and a blank are a fold. */
static void unfold(feed *of)
{
    const char *text = mw_text_chars(&of->raw);
    size_t octets = 0;
    size_t put = 0;
    of->flat = malloc(of->raw.length + 1);
    assert_non_null(of->flat);
    assert_true(of->raw.length > 2 && strcmp(text + of->raw.length - 2, "\r\n") == 0);
    for (size_t i = 0; i < of->raw.length; i++) {
        if (text[i] != '\r') {
            assert_true(text[i] != '\n' && ++octets <= 75);
            of->flat[put++] = text[i];
            continue;
        }
        assert_int_equal(text[++i], '\n');
        octets = 0;
        if (text[i + 1] == ' ') {
            i++;
            octets = 1;
            /* no character is taken apart, though 3.1 would allow it */
            assert_true(((unsigned char)text[i + 1] & 0xC0) != 0x80);
        } else {
            of->flat[put++] = '\0';
        }
    }
    for (char *at = of->flat; at < of->flat + put; at += strlen(at) + 1) {
        assert_true(of->count < LINES_MAX);
        of->lines[of->count++] = at;
    }
}

static void feed_open(feed *of, job_bench *bench, const char *mould)
{
    const mw_style style = {.width = 80};
    const mw_request request = {.word = mw_str_of("calendar"),
                                .argument = mw_str_of(mould),
                                .argument_at = {.source = MW_NONE},
                                .style = &style};
    *of = (feed){0};
    bench_clear(bench);
    assert_int_equal(mw_report_icalendar(bench->job, &request, &of->raw, &bench->diags), MW_OK);
    unfold(of);
}

static void feed_close(feed *of)
{
    free(of->flat);
    mw_text_free(&of->raw);
}

/* The value of a property in an event that begins at `*line`; NULL: it has none. Moves to its END. */
typedef struct event {
    const char *uid, *stamp, *start, *day, *end, *summary, *description;
    bool transparent;
} event;

static void once(const char **to, const char *value)
{
    assert_null(*to); /* 3.6.1: MUST NOT occur more than once */
    *to = value;
}

static bool is_moment(const char *text, bool utc)
{
    size_t i = 0;
    for (; i < 15; i++) {
        if (i == 8 ? text[i] != 'T' : !isdigit((unsigned char)text[i])) {
            return false;
        }
    }
    return strcmp(text + i, utc ? "Z" : "") == 0;
}

static void read_property(event *to, char *line)
{
    char *colon = strchr(line, ':');
    assert_non_null(colon);
    const char *value = colon + 1;
    const size_t length = (size_t)(colon - line);
    const struct {
        const char *name;
        const char **to;
    } known[] = {{"UID", &to->uid},
                 {"DTSTAMP", &to->stamp},
                 {"DTSTART", &to->start},
                 {"DTSTART;VALUE=DATE", &to->day},
                 {"DTEND", &to->end},
                 {"SUMMARY", &to->summary},
                 {"DESCRIPTION", &to->description}};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        if (strlen(known[i].name) == length && memcmp(known[i].name, line, length) == 0) {
            once(known[i].to, value);
            return;
        }
    }
    to->transparent = to->transparent || strcmp(line, "TRANSP:TRANSPARENT") == 0;
    assert_true(strcmp(line, "TRANSP:TRANSPARENT") == 0 || strncmp(line, "CATEGORIES:", 11) == 0);
}

/* 3.3.11: a backslash stands before \ ; , n N only, and ; and , not by themselves. */
static void check_text(const char *text)
{
    for (const char *at = text ? text : ""; *at; at++) {
        assert_true(*at != ';' && *at != ',' && (unsigned char)*at >= 0x20);
        if (*at == '\\') {
            at++;
            assert_true(*at && strchr("\\;,nN", *at));
        }
    }
}

static event read_event(const feed *of, size_t *line)
{
    event made = {0};
    assert_string_equal(of->lines[*line], "BEGIN:VEVENT");
    for ((*line)++; strcmp(of->lines[*line], "END:VEVENT") != 0; (*line)++) {
        assert_true(*line + 1 < of->count);
        read_property(&made, of->lines[*line]);
    }
    (*line)++;
    assert_non_null(made.uid);
    assert_true(made.stamp && is_moment(made.stamp, true)); /* 3.8.7.2: in UTC */
    assert_true((made.start != NULL) != (made.day != NULL));
    assert_true(!made.start || is_moment(made.start, false));
    assert_true(!made.end || (made.start && is_moment(made.end, false)));
    assert_true(!made.end || strcmp(made.start, made.end) < 0); /* 3.8.2.2: later */
    check_text(made.summary);
    check_text(made.description);
    return made;
}

typedef struct job_row {
    const char *name, *path;
} job_row;

static const job_row jobs[] = {{"two moulds", "tests/data/job/two.job"},
                               {"ten moulds", "samples/dunlin.job"},
                               {"floats", "samples/floats.job"}};

static void open_job(job_bench *bench, const job_row *row)
{
    if (strncmp(row->path, "samples/", 8) == 0) {
        bench_open_shipped(bench, row->path);
    } else {
        bench_start(bench, row->path);
    }
}

static void keeps_the_standard(void **state)
{
    const job_row *row = *state;
    job_bench bench;
    feed of;
    open_job(&bench, row);
    feed_open(&of, &bench, "");
    assert_string_equal(of.lines[0], "BEGIN:VCALENDAR");
    assert_string_equal(of.lines[1], "VERSION:2.0"); /* 3.7.4 */
    assert_int_equal(strncmp(of.lines[2], "PRODID:", 7), 0);
    assert_string_equal(of.lines[of.count - 1], "END:VCALENDAR");
    size_t line = 4;
    uint32_t work = 0;
    uint32_t days = 0;
    static const char *uids[LINES_MAX];
    size_t events = 0;
    while (line + 1 < of.count) {
        const event one = read_event(&of, &line);
        for (size_t i = 0; i < events; i++) {
            assert_string_not_equal(uids[i], one.uid); /* 3.8.4.7: globally unique */
        }
        uids[events++] = one.uid;
        work += one.start && !one.transparent;
        days += one.day != NULL;
        assert_string_equal(one.stamp,
                            "20270103T000000Z"); /* the date of the estimate: job_bench.h */
    }
    uint32_t count = 0;
    mw_job_sessions(bench.job, &count);
    assert_int_equal(work, count);
    assert_int_equal(days, mw_job_mould_count(bench.job));
    feed_close(&of);
    bench_end(&bench);
}

/* Heavy on a, by hand (test_report_plan.c): Monday 11:15 to 14:45, then ten hours. */
static void says_what_is_planned(void **state)
{
    (void)state;
    job_bench bench;
    feed of;
    bench_start(&bench, "tests/data/job/two.job");
    feed_open(&of, &bench, "a");
    size_t line = 4;
    unsigned found = 0;
    while (line + 1 < of.count) {
        const event one = read_event(&of, &line);
        if (strcmp(one.summary, "a: heavy") == 0) {
            assert_string_equal(one.start, "20270104T111500");
            assert_string_equal(one.end, "20270104T144500");
            assert_string_equal(one.description, "layers of cloth\\n2 people");
            found++;
        } else if (strcmp(one.summary, "wait after a: heavy") == 0) {
            assert_string_equal(one.start, "20270104T144500");
            assert_string_equal(one.end, "20270105T004500");
            assert_true(one.transparent);
            found++;
        } else if (one.day) {
            assert_string_equal(one.day, "20270105");
            assert_string_equal(one.summary, "a ready");
            found++;
        }
    }
    assert_int_equal(found, 3);
    feed_close(&of);
    bench_end(&bench);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "RFC 5545", jobs, keeps_the_standard);
    test_add(&list, says_what_is_planned);
    return test_run(&list, "report: iCalendar");
}
