/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Risk of the sample job: estimate and calendar of each sample, in the order of the present plan.
 *
 * risk-job       CPU time a sample on one thread; limit: 100 us, 10,000 samples a second
 * risk-job-two   clock time of two threads over that of one; limit: 1 / 1.8. Where the machine has other work this says
 *                nothing, so the best of several runs counts */
#include <string.h>
#include <unistd.h>

#include "bench.h"
#include "mouldwright/job_risk.h"

enum { RUNS = 3, FEW = 512, MANY = 4608 };

static const char *const uncertain[] = {
    "moulds.heavy.hours = usual * 0.9 .. usual .. usual * 1.4",
    "moulds.skin.hours = usual * 0.8 .. usual .. usual * 1.5",
    "moulds.sanding.hours = usual * 0.8 .. usual .. usual * 1.5",
    "moulds.toolpaths.hours = usual * 0.8 .. usual .. usual * 1.5",
    "beam_root.plug_area = 3.7 .. 3.9 .. 4.4 m2",
};

static double clock_s(void)
{
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + 1e-9 * (double)time.tv_nsec;
}

static mw_span words(mw_job *job, const char *text)
{
    uint32_t source = mw_sources_add(mw_job_sources(job), mw_str_of("<bench>"), mw_str_of(text));
    bench_must(source != MW_NONE, "no memory");
    return (mw_span){source, 0, (uint32_t)strlen(text)};
}

static mw_job *open_job(mw_diags *diags)
{
    static const char *const folders[] = {"", "recipes"};
    const mw_job_options options = {.today_s = 1798934400.0, .folders = folders, .folder_count = 2};
    mw_job *job = mw_job_new(&options);
    bench_must(job && mw_job_open(job, "samples/dunlin.job", diags) == MW_OK,
               "samples/dunlin.job cannot be opened");
    for (size_t i = 0; i < sizeof uncertain / sizeof *uncertain; i++) {
        mw_reply reply;
        bench_must(mw_job_say(job, words(job, uncertain[i]), &reply, diags) == MW_OK,
                   "a line of the bench is refused");
    }
    return job;
}

/* What so many samples take more than a few, by a clock. */
static double more_s(mw_job *job, uint32_t threads, double (*now_s)(void), mw_diags *diags)
{
    double took_s[2];
    for (size_t i = 0; i < 2; i++) {
        char text[64];
        mw_risk_reply reply;
        snprintf(text, sizeof text, "samples %d, threads %u", i ? MANY : FEW, (unsigned)threads);
        double start_s = now_s();
        bench_must(mw_job_risk(job, words(job, text), &reply, diags) == MW_OK, "risk fails");
        took_s[i] = now_s() - start_s;
    }
    return took_s[1] - took_s[0];
}

int main(void)
{
    mw_diags diags;
    bench_must(mw_diags_start(&diags) == MW_OK, "no memory");
    mw_job *job = open_job(&diags);
    double cpu_s[RUNS];
    double best = 1.0;
    for (int i = 0; i < RUNS; i++) {
        cpu_s[i] = more_s(job, 1, bench_now_s, &diags);
        double one_s = more_s(job, 1, clock_s, &diags);
        double two_s = more_s(job, 2, clock_s, &diags);
        best = two_s > 0.0 && two_s / one_s < best ? two_s / one_s : best;
    }
    bench_print("risk-job", 1e6 * bench_median(cpu_s, RUNS) / (MANY - FEW), "us", 100.0);
    if (sysconf(_SC_NPROCESSORS_ONLN) > 1) {
        bench_print("risk-job-two", best, "of one", 1.0 / 1.8);
    }
    mw_job_free(job);
    mw_diags_free(&diags);
    return 0;
}
