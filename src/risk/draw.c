/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawing many values of one shape. */
#include <math.h>

#include "mouldwright/memory.h"
#include "shape.h"

/* The table of a beta shape: values and slopes at the shares k / NODES, joined by cubics. Beyond the first and last
 * EDGE of them, where its slope grows without end, values are worked out one by one. */
enum { NODES = 1024, EDGE = NODES / 64 };

struct mw_risk_drawer {
    mw_risk_input input;
    const risk_kernels *kernels;
    risk_triangle triangle;
    double mean, deviation; /* lognormal: of the logarithm */
    risk_beta beta;
    double *table; /* PERT: value and slope a step, alternating; else NULL */
};

static bool make_table(mw_risk_drawer *drawer)
{
    const double *at = drawer->input.at;
    const double width = at[2] - at[0];
    drawer->beta = width > 0.0 ? risk_pert_of(&drawer->input) : risk_beta_of(1.0, 1.0);
    drawer->table = mw_memory_get((size_t)2 * (NODES + 1) * sizeof *drawer->table);
    for (size_t k = EDGE; drawer->table != NULL && k <= NODES - EDGE; k++) {
        const double x = risk_beta_value(&drawer->beta, (double)k / NODES);
        drawer->table[2 * k] = at[0] + width * x;
        drawer->table[2 * k + 1] = width / risk_beta_density(&drawer->beta, x) / NODES;
    }
    return drawer->table != NULL;
}

mw_risk_drawer *mw_risk_drawer_new(const mw_risk_input *input)
{
    mw_risk_drawer *drawer = mw_memory_get(sizeof *drawer);
    if (drawer == NULL) {
        return NULL;
    }
    drawer->input = *input;
    drawer->kernels = risk_kernels_here();
    if (input->shape == MW_RISK_TRIANGULAR) {
        drawer->triangle = risk_triangle_of(input);
    } else if (input->shape == MW_RISK_LOGNORMAL) {
        risk_lognormal_of(input, &drawer->mean, &drawer->deviation);
    } else if (input->shape == MW_RISK_PERT && !make_table(drawer)) {
        mw_risk_drawer_free(drawer);
        return NULL;
    }
    return drawer;
}

void mw_risk_drawer_free(mw_risk_drawer *drawer)
{
    if (drawer != NULL) {
        mw_memory_give(drawer->table);
        mw_memory_give(drawer);
    }
}

static double draw_pert(const mw_risk_drawer *drawer, double share)
{
    const double place = share * NODES;
    const double node = floor(place);
    if (!(node >= EDGE && node < NODES - EDGE)) {
        const double *at = drawer->input.at;
        return at[0] + (at[2] - at[0]) * risk_beta_value(&drawer->beta, share);
    }
    const double *here = drawer->table + 2 * (size_t)node;
    const double t = place - node;
    const double rise = here[2] - here[0];
    /* Hermite's cubic through both ends with their slopes */
    const double bend = here[1] - rise;
    const double other = rise - here[3];
    return here[0] + t * rise + t * (1.0 - t) * ((1.0 - t) * bend + t * other);
}

void mw_risk_draw(const mw_risk_drawer *drawer, const double *shares, double *values,
                  uint32_t count)
{
    const double *at = drawer->input.at;
    switch (drawer->input.shape) {
    case MW_RISK_TRIANGULAR:
        drawer->kernels->triangle(&drawer->triangle, shares, values, count);
        return;
    case MW_RISK_PERT:
        for (uint32_t i = 0; i < count; i++) {
            values[i] = draw_pert(drawer, shares[i]);
        }
        return;
    case MW_RISK_LOGNORMAL:
        for (uint32_t i = 0; i < count; i++) {
            values[i] = exp(drawer->mean + drawer->deviation * mw_risk_normal_value(shares[i]));
        }
        return;
    case MW_RISK_NORMAL:
        for (uint32_t i = 0; i < count; i++) {
            values[i] = at[0] + at[1] * mw_risk_normal_value(shares[i]);
        }
        return;
    case MW_RISK_UNIFORM:
        for (uint32_t i = 0; i < count; i++) {
            values[i] = at[0] + (at[1] - at[0]) * shares[i];
        }
        return;
    case MW_RISK_CHANCE:
        for (uint32_t i = 0; i < count; i++) {
            values[i] = shares[i] < at[0] ? at[1] : at[2];
        }
        return;
    case MW_RISK_SHAPE_COUNT:
        break;
    }
}
