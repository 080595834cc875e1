/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Samples on several threads. Each tile hangs on its number only, so it does not matter who works on it. */
#include <pthread.h>
#include <stdatomic.h>
#include <string.h>

#include "mouldwright/memory.h"
#include "risk.h"

enum { TILE = MW_RISK_TILE };

typedef struct shared {
    risk_work *work;
    atomic_uint next;
    atomic_bool stop;
    uint8_t *done; /* by item */
    uint32_t tiles;
    const mw_progress *progress;
} shared;

typedef struct worker {
    shared *all;
    risk_bench *bench;
    double *out;
    mw_status status;
    bool tells; /* the thread that was called */
    pthread_t thread;
} worker;

/* An item is one tile of one design; tiles come first, so that stopping leaves whole samples. */
static mw_status work_on(worker *own, uint32_t item)
{
    risk_work *work = own->all->work;
    const uint32_t design = item % work->designs;
    const uint32_t tile = item / work->designs;
    const uint32_t inputs = work->plan.model->input_count;
    risk_draw draw = {.tile = tile,
                      .shift = design == 1 ? inputs : 0,
                      .swapped = design >= 2 ? design - 2 : MW_NONE};
    mw_status status = risk_fill(&work->plan, &draw, own->bench->lanes);
    if (status == MW_OK) {
        status = risk_compute(&work->plan, own->bench, own->out);
    }
    for (uint32_t c = 0; status == MW_OK && c < work->plan.cell_count; c++) {
        size_t place = ((size_t)design * work->plan.cell_count + c) * work->samples;
        memcpy(work->results + place + (size_t)tile * TILE, own->out + (size_t)c * TILE,
               TILE * sizeof *own->out);
    }
    own->all->done[item] = status == MW_OK;
    return status;
}

static void *run_worker(void *context)
{
    worker *own = context;
    shared *all = own->all;
    const uint32_t items = all->tiles * all->work->designs;
    uint32_t item = atomic_fetch_add(&all->next, 1);
    while (item < items && !atomic_load(&all->stop)) {
        own->status = work_on(own, item);
        bool on = own->status == MW_OK;
        if (on && own->tells) {
            on = mw_progress_tell(all->progress, (double)item / items);
        }
        if (!on) {
            atomic_store(&all->stop, true);
        }
        item = atomic_fetch_add(&all->next, 1);
    }
    return NULL;
}

/* Moves the samples of whole tiles together and counts them. */
static void keep_done(const shared *all)
{
    risk_work *work = all->work;
    uint32_t kept = 0;
    for (uint32_t tile = 0; tile < all->tiles; tile++) {
        bool whole = true;
        for (uint32_t d = 0; d < work->designs; d++) {
            whole = whole && all->done[tile * work->designs + d];
        }
        for (uint32_t c = 0; whole && kept != tile && c < work->designs * work->plan.cell_count;
             c++) {
            double *column = work->results + (size_t)c * work->samples;
            memmove(column + (size_t)kept * TILE, column + (size_t)tile * TILE,
                    TILE * sizeof *column);
        }
        kept += whole;
    }
    work->done = kept * TILE;
}

static mw_status run_workers(shared *all, worker *workers, uint32_t count)
{
    uint32_t started = 1;
    while (started < count &&
           pthread_create(&workers[started].thread, NULL, run_worker, &workers[started]) == 0) {
        started++;
    }
    run_worker(&workers[0]); /* with fewer threads than wanted it is only slower */
    mw_status status = workers[0].status;
    for (uint32_t i = 1; i < started; i++) {
        pthread_join(workers[i].thread, NULL);
        status = workers[i].status != MW_OK ? workers[i].status : status;
    }
    keep_done(all);
    return status;
}

mw_status risk_work_run(risk_work *work)
{
    mw_job *job = work->plan.model->job;
    shared all = {.work = work, .tiles = work->samples / TILE, .progress = job->progress};
    const size_t cells = work->plan.cell_count;
    worker *workers = mw_memory_get(work->threads * sizeof *workers);
    double *outs = mw_memory_get(work->threads * cells * TILE * sizeof *outs);
    all.done = mw_memory_get((size_t)all.tiles * work->designs + 1);
    work->results =
        mw_memory_get((work->designs * cells * work->samples + 1) * sizeof *work->results);
    mw_status status = workers && outs && all.done && work->results ? MW_OK : MW_NO_MEMORY;
    for (uint32_t i = 0; status == MW_OK && i < work->threads; i++) {
        workers[i] = (worker){.all = &all,
                              .bench = &work->benches[i],
                              .out = outs + i * cells * TILE,
                              .tells = i == 0};
    }
    if (status == MW_OK) {
        job->progress = NULL; /* the plan of a trial shall not ask from another thread */
        status = run_workers(&all, workers, work->threads);
        job->progress = all.progress;
    }
    mw_memory_give(workers);
    mw_memory_give(outs);
    mw_memory_give(all.done);
    return status;
}

const double *risk_work_results(const risk_work *work, uint32_t design, uint32_t cell)
{
    return work->results + ((size_t)design * work->plan.cell_count + cell) * work->samples;
}
