/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Inputs that go together: shares become normal values, are mixed by the root of the matrix, become shares again. */
#include <assert.h>
#include <math.h>

#include "mouldwright/memory.h"

#include "mouldwright/risk_sample.h"

#define PI 3.14159265358979323846

struct mw_risk_bonds {
    uint32_t count;   /* inputs with a bond */
    uint32_t *inputs; /* which they are, rising */
    double *root;     /* lower triangle, by rows */
};

enum { BONDED_MOST = 256 };

static uint32_t place_of(const mw_risk_bonds *bonds, uint32_t input)
{
    uint32_t at = 0;
    assert(bonds->inputs != NULL || bonds->count == 0);
    while (at < bonds->count && bonds->inputs[at] != input) {
        at++;
    }
    return at;
}

static void gather(mw_risk_bonds *bonds, uint32_t inputs, const mw_risk_bond *list, uint32_t count)
{
    for (uint32_t input = 0; input < inputs; input++) {
        bool bonded = false;
        for (uint32_t i = 0; i < count && !bonded; i++) {
            bonded = list[i].a == input || list[i].b == input;
        }
        if (bonded) {
            bonds->inputs[bonds->count++] = input;
        }
    }
}

/* The correlation of normal values whose ranks correlate so. Source: Pearson 1907, after Nelsen 2006, section 5.1. */
static double of_normals(double ranks)
{
    return 2.0 * sin(PI / 6.0 * ranks);
}

/* Cholesky, in place; false: not positive definite. */
static bool take_root(double *matrix, uint32_t n)
{
    for (uint32_t i = 0; i < n; i++) {
        for (uint32_t j = 0; j <= i; j++) {
            double sum = matrix[(size_t)i * n + j];
            for (uint32_t k = 0; k < j; k++) {
                sum -= matrix[(size_t)i * n + k] * matrix[(size_t)j * n + k];
            }
            if (i == j && !(sum > 1e-12)) {
                return false;
            }
            matrix[(size_t)i * n + j] = i == j ? sqrt(sum) : sum / matrix[(size_t)j * n + j];
        }
    }
    return true;
}

static void fill(mw_risk_bonds *bonds, const mw_risk_bond *list, uint32_t count)
{
    const uint32_t n = bonds->count;
    for (uint32_t i = 0; i < n; i++) {
        bonds->root[(size_t)i * n + i] = 1.0;
    }
    for (uint32_t i = 0; i < count; i++) {
        const uint32_t a = place_of(bonds, list[i].a);
        const uint32_t b = place_of(bonds, list[i].b);
        const double r = of_normals(list[i].correlation);
        bonds->root[(size_t)a * n + b] = r;
        bonds->root[(size_t)b * n + a] = r;
    }
}

mw_status mw_risk_bonds_new(uint32_t inputs, const mw_risk_bond *list, uint32_t count,
                            mw_risk_bonds **out)
{
    mw_risk_bonds *bonds = mw_memory_get(sizeof *bonds);
    if (bonds == NULL) {
        return MW_NO_MEMORY;
    }
    bonds->inputs = mw_memory_get(((size_t)inputs + 1) * sizeof *bonds->inputs);
    if (bonds->inputs != NULL) {
        gather(bonds, inputs, list, count);
        bonds->root =
            mw_memory_get(((size_t)bonds->count * bonds->count + 1) * sizeof *bonds->root);
    }
    mw_status status = bonds->root != NULL ? MW_OK : MW_NO_MEMORY;
    if (status == MW_OK && bonds->count > BONDED_MOST) {
        status = MW_FAILED;
    }
    if (status == MW_OK) {
        fill(bonds, list, count);
        status = take_root(bonds->root, bonds->count) ? MW_OK : MW_FAILED;
    }
    if (status != MW_OK) {
        mw_risk_bonds_free(bonds);
        return status;
    }
    *out = bonds;
    return MW_OK;
}

void mw_risk_bonds_free(mw_risk_bonds *bonds)
{
    if (bonds != NULL) {
        mw_memory_give(bonds->inputs);
        mw_memory_give(bonds->root);
        mw_memory_give(bonds);
    }
}

void mw_risk_bond_shares(const mw_risk_bonds *bonds, double *shares)
{
    double normal[BONDED_MOST];
    const uint32_t n = bonds->count;
    for (uint32_t i = 0; i < n; i++) {
        normal[i] = mw_risk_normal_value(shares[bonds->inputs[i]]);
    }
    for (uint32_t i = n; i-- > 1;) { /* from below: a row needs the values above it as they were */
        const double *row = bonds->root + (size_t)i * n;
        double sum = 0.0;
        for (uint32_t k = 0; k <= i; k++) {
            sum += row[k] * normal[k];
        }
        normal[i] = sum;
        const double share = mw_risk_normal_share(sum);
        shares[bonds->inputs[i]] = fmin(fmax(share, 0x1p-60), 1.0 - 0x1p-53);
    }
}
