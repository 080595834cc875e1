/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reads the open benchmark files of project scheduling into problems in whole slots. The files are
 * not part of the project: they are looked for in the folder that MOULDWRIGHT_CHECKS names, by
 * default ../shared/checks.
 * Sources: Kolisch and Sprecher, PSPLIB - A project scheduling problem library, EJOR 96, 1996
 * (.sm); Schwindt, ProGen/max, and Franck, Neumann and Schwindt, OR Spektrum 23, 2001 (.sch). */
#ifndef TESTS_PLAN_SETS_H
#define TESTS_PLAN_SETS_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "mouldwright/plan_slots.h"

enum { SET_ACTIVITIES = 256, SET_LAGS = 8192, SET_RESOURCES = 8, SET_PATH = 512 };

/* A problem with the arrays that it borrows. */
typedef struct set_instance {
    int32_t durations[SET_ACTIVITIES];
    int32_t capacities[SET_RESOURCES];
    int32_t demands[SET_ACTIVITIES * SET_RESOURCES];
    mw_slots_lag lags[SET_LAGS];
    mw_slots_problem problem;
} set_instance;

static inline const char *set_folder(void)
{
    const char *folder = getenv("MOULDWRIGHT_CHECKS");
    return folder == NULL || folder[0] == '\0' ? "../shared/checks" : folder;
}

/* Opens a file of the sets; NULL when it is not there. */
static inline FILE *set_open(const char *path)
{
    char whole[SET_PATH];
    int length = snprintf(whole, sizeof whole, "%s/rcpsp/%s", set_folder(), path);
    return length > 0 && length < SET_PATH ? fopen(whole, "r") : NULL;
}

static inline void set_clear(set_instance *set, uint32_t activities, uint32_t resources)
{
    set->problem = (mw_slots_problem){.activity_count = activities,
                                      .durations = set->durations,
                                      .resource_count = resources,
                                      .capacities = set->capacities,
                                      .demands = set->demands,
                                      .lags = set->lags};
}

static inline bool set_number(FILE *file, int32_t *number)
{
    return fscanf(file, " %d", number) == 1;
}

static inline bool set_add_lag(set_instance *set, int32_t from, int32_t to, int32_t least)
{
    if (set->problem.lag_count >= SET_LAGS || from < 0 || to < 0 || from >= SET_ACTIVITIES ||
        to >= SET_ACTIVITIES) {
        return false;
    }
    set->lags[set->problem.lag_count++] =
        (mw_slots_lag){.from = (uint32_t)from, .to = (uint32_t)to, .least = least};
    return true;
}

/* Skips past the next line that has `words` in it. */
static inline bool set_skip_past(FILE *file, const char *words)
{
    char line[SET_PATH];
    while (fgets(line, sizeof line, file) != NULL) {
        if (strstr(line, words) != NULL) {
            return true;
        }
    }
    return false;
}

static inline bool set_read_successors(FILE *file, set_instance *set)
{
    bool fine = set_skip_past(file, "PRECEDENCE RELATIONS") && set_skip_past(file, "jobnr");
    for (uint32_t a = 0; fine && a < set->problem.activity_count; a++) {
        int32_t job, modes, count = 0, next;
        fine = set_number(file, &job) && set_number(file, &modes) && set_number(file, &count);
        for (int32_t i = 0; fine && i < count; i++) {
            fine = set_number(file, &next) && set_add_lag(set, job - 1, next - 1, 0);
        }
    }
    return fine;
}

static inline bool set_read_requests(FILE *file, set_instance *set)
{
    uint32_t resources = set->problem.resource_count;
    bool fine = set_skip_past(file, "REQUESTS/DURATIONS") && set_skip_past(file, "---");
    for (uint32_t a = 0; fine && a < set->problem.activity_count; a++) {
        int32_t job, mode;
        fine = set_number(file, &job) && set_number(file, &mode) &&
               set_number(file, &set->durations[a]);
        for (uint32_t r = 0; fine && r < resources; r++) {
            fine = set_number(file, &set->demands[a * resources + r]);
        }
    }
    fine = fine && set_skip_past(file, "RESOURCEAVAILABILITIES") && set_skip_past(file, "R 1");
    for (uint32_t r = 0; fine && r < resources; r++) {
        fine = set_number(file, &set->capacities[r]);
    }
    return fine;
}

/* Reads a .sm file: finish to start without lag. Closes it. */
static inline bool set_read_sm(FILE *file, set_instance *set)
{
    int32_t jobs = 0, resources = 0;
    bool fine = set_skip_past(file, "projects") &&
                fscanf(file, " jobs (incl. supersource/sink ): %d", &jobs) == 1 &&
                set_skip_past(file, "RESOURCES") &&
                fscanf(file, " - renewable : %d", &resources) == 1 && jobs > 0 &&
                jobs <= SET_ACTIVITIES && resources >= 0 && resources <= SET_RESOURCES;
    if (fine) {
        set_clear(set, (uint32_t)jobs, (uint32_t)resources);
        fine = set_read_successors(file, set) && set_read_requests(file, set);
    }
    for (uint32_t i = 0; fine && i < set->problem.lag_count; i++) {
        set->lags[i].least = set->durations[set->lags[i].from];
    }
    fclose(file);
    return fine;
}

static inline bool set_read_sch_lags(FILE *file, set_instance *set)
{
    bool fine = true;
    for (uint32_t a = 0; fine && a < set->problem.activity_count; a++) {
        int32_t job, one, count = 0, to[SET_ACTIVITIES], least;
        fine = set_number(file, &job) && set_number(file, &one) && set_number(file, &count) &&
               count >= 0 && count <= SET_ACTIVITIES;
        for (int32_t i = 0; fine && i < count; i++) {
            fine = set_number(file, &to[i]);
        }
        for (int32_t i = 0; fine && i < count; i++) {
            fine = fscanf(file, " [%d]", &least) == 1 && set_add_lag(set, job, to[i], least);
        }
    }
    return fine;
}

/* Reads a .sch file: lags from start to start, negative ones included. Closes it. */
static inline bool set_read_sch(FILE *file, set_instance *set)
{
    int32_t inner = 0, resources = 0;
    bool fine = fscanf(file, " %d %d %*d %*d", &inner, &resources) == 2 && inner > 0 &&
                inner + 2 <= SET_ACTIVITIES && resources >= 0 && resources <= SET_RESOURCES;
    if (fine) {
        set_clear(set, (uint32_t)inner + 2, (uint32_t)resources);
        fine = set_read_sch_lags(file, set);
    }
    for (uint32_t a = 0; fine && a < set->problem.activity_count; a++) {
        int32_t job, mode;
        fine = set_number(file, &job) && set_number(file, &mode) &&
               set_number(file, &set->durations[a]);
        for (uint32_t r = 0; fine && r < set->problem.resource_count; r++) {
            fine = set_number(file, &set->demands[a * set->problem.resource_count + r]);
        }
    }
    for (uint32_t r = 0; fine && r < set->problem.resource_count; r++) {
        fine = set_number(file, &set->capacities[r]);
    }
    fclose(file);
    return fine;
}

/* What is known of an instance; -1: nothing. */
typedef struct set_bounds {
    char name[32];
    int32_t lower, upper, path;
    bool impossible; /* proved to have no plan */
} set_bounds;

static inline int32_t set_field(const char **at)
{
    char *end;
    long value = strtol(*at, &end, 10);
    bool empty = end == *at;
    const char *comma = strchr(*at, ',');
    *at = comma == NULL ? end : comma + 1;
    return empty ? -1 : (int32_t)value;
}

/* Reads the next line of a table of bounds. Returns false at its end. */
static inline bool set_next_bounds(FILE *file, set_bounds *bounds)
{
    char line[SET_PATH];
    do {
        if (fgets(line, sizeof line, file) == NULL) {
            return false;
        }
    } while (strncmp(line, "instance", 8) == 0);
    const char *comma = strchr(line, ',');
    size_t length = comma == NULL ? 0 : (size_t)(comma - line);
    if (length == 0 || length >= sizeof bounds->name) {
        return false;
    }
    *bounds = (set_bounds){.impossible = strstr(line, "unsat") != NULL};
    memcpy(bounds->name, line, length);
    const char *at = comma + 1;
    bounds->lower = set_field(&at);
    bounds->upper = set_field(&at);
    bounds->path = set_field(&at);
    return true;
}

#endif
