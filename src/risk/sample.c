/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Samples of a run: sorted as a whole and part by part. */
#include <math.h>
#include <string.h>

#include "mouldwright/memory.h"
#include "mouldwright/risk_figures.h"

struct mw_risk_sample {
    double *sorted; /* all */
    size_t count;
    double *parts;                   /* sorted within each */
    size_t first[MW_RISK_PARTS + 1]; /* where each begins */
};

static void deal(mw_risk_sample *sample, const double *results, size_t count)
{
    size_t at = 0;
    for (size_t part = 0; part < MW_RISK_PARTS; part++) {
        sample->first[part] = at;
        const size_t end = (part + 1) * count / MW_RISK_PARTS;
        for (size_t i = part * count / MW_RISK_PARTS; i < end; i++) {
            if (!isnan(results[i])) {
                sample->parts[at++] = results[i];
            }
        }
        mw_risk_sort(sample->parts + sample->first[part], at - sample->first[part]);
    }
    sample->first[MW_RISK_PARTS] = at;
    sample->count = at;
}

/* Merges the sorted parts: by the place of the smallest head. */
static void merge(mw_risk_sample *sample)
{
    size_t heads[MW_RISK_PARTS];
    memcpy(heads, sample->first, sizeof heads);
    for (size_t i = 0; i < sample->count; i++) {
        uint32_t best = 0;
        while (heads[best] == sample->first[best + 1]) {
            best++; /* some part has a head left */
        }
        for (uint32_t b = best + 1; b < MW_RISK_PARTS; b++) {
            const bool left = heads[b] < sample->first[b + 1];
            if (left && sample->parts[heads[b]] < sample->parts[heads[best]]) {
                best = b;
            }
        }
        sample->sorted[i] = sample->parts[heads[best]++];
    }
}

mw_risk_sample *mw_risk_sample_new(const double *results, size_t count)
{
    mw_risk_sample *sample = mw_memory_get(sizeof *sample);
    if (sample == NULL) {
        return NULL;
    }
    sample->sorted = mw_memory_get((count + 1) * sizeof *sample->sorted);
    sample->parts = mw_memory_get((count + 1) * sizeof *sample->parts);
    if (sample->sorted == NULL || sample->parts == NULL) {
        mw_risk_sample_free(sample);
        return NULL;
    }
    deal(sample, results, count);
    merge(sample);
    return sample;
}

void mw_risk_sample_free(mw_risk_sample *sample)
{
    if (sample != NULL) {
        mw_memory_give(sample->sorted);
        mw_memory_give(sample->parts);
        mw_memory_give(sample);
    }
}

size_t mw_risk_sample_count(const mw_risk_sample *sample)
{
    return sample->count;
}

const double *mw_risk_sample_sorted(const mw_risk_sample *sample)
{
    return sample->sorted;
}

/* How many of sorted values are at most so much. */
static size_t count_up_to(const double *sorted, size_t count, double at_most)
{
    size_t low = 0;
    size_t high = count;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        if (sorted[middle] <= at_most) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

typedef enum figure { QUANTILE, MEAN, ODDS } figure;

static double figure_of(figure what, const double *sorted, size_t count, double argument)
{
    switch (what) {
    case QUANTILE:
        return mw_risk_quantile(sorted, count, argument, MW_RISK_QUANTILE);
    case MEAN:
        return mw_risk_moments_of(sorted, count).mean;
    case ODDS:
        return (double)count_up_to(sorted, count, argument) / (double)count;
    }
    return (double)NAN;
}

static mw_risk_figure figure_with_error(const mw_risk_sample *sample, figure what, double argument)
{
    mw_risk_figure found = {(double)NAN, (double)NAN};
    double each[MW_RISK_PARTS];
    size_t parts = 0;
    for (uint32_t b = 0; b < MW_RISK_PARTS; b++) {
        const size_t count = sample->first[b + 1] - sample->first[b];
        if (count > 0) {
            each[parts++] = figure_of(what, sample->parts + sample->first[b], count, argument);
        }
    }
    if (sample->count > 0) {
        found.value = figure_of(what, sample->sorted, sample->count, argument);
    }
    if (parts > 1) {
        found.error = mw_risk_moments_of(each, parts).deviation / sqrt((double)parts);
    }
    return found;
}

mw_risk_figure mw_risk_sample_quantile(const mw_risk_sample *sample, double share)
{
    return figure_with_error(sample, QUANTILE, share);
}

mw_risk_figure mw_risk_sample_mean(const mw_risk_sample *sample)
{
    return figure_with_error(sample, MEAN, 0.0);
}

mw_risk_figure mw_risk_sample_odds(const mw_risk_sample *sample, double at_most)
{
    return figure_with_error(sample, ODDS, at_most);
}

mw_risk_moments mw_risk_sample_moments(const mw_risk_sample *sample)
{
    const mw_risk_moments none = {(double)NAN, (double)NAN, (double)NAN, (double)NAN};
    return sample->count > 0 ? mw_risk_moments_of(sample->sorted, sample->count) : none;
}
