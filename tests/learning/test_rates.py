"""Rates out of few jobs: coverage by simulation, and the conjugate prior by brute force."""

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.weightstats import DescrStatsW

from quotegen.learning.rates import Floats, Posterior, Prior, after_jobs, house_prior, of_logs
from tests.builders import settings

FIRMS = 500
STATED = 0.90
PRIOR = house_prior(settings())


def simulated(
    seed: int, apart: float, least: int = 3, most: int = 25
) -> tuple[Floats, Floats, Posterior]:
    """Firms whose true log rates are `apart` about the default, with what their jobs tell."""
    rng = np.random.default_rng(seed)
    true, sd = rng.normal(0, apart, FIRMS), rng.uniform(0.15, 0.35, FIRMS)
    jobs = rng.integers(least, most + 1, FIRMS).astype(float)
    mean = true + rng.standard_normal(FIRMS) * sd / np.sqrt(jobs)
    squares = sd**2 * rng.chisquare(jobs - 1)
    return true, sd, after_jobs(PRIOR, jobs, mean, squares)


@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize("apart", [0.05, 0.15, 0.3])
def test_the_stated_interval_holds_the_true_rate_of_nine_firms_in_ten(
    seed: int, apart: float
) -> None:
    """85 to 95 % of 500 firms, for a stated 90 %: three standard errors of such a share are 4 %."""
    true, _, posterior = simulated(seed, apart)
    low, high = posterior.interval(STATED)
    share = np.mean((low <= true) & (true <= high))
    assert 0.85 <= share <= 0.95
    narrow = np.mean(np.abs(true - posterior.mean) < (high - low) / 4)
    assert narrow < 0.85, "half the interval would not do"


def test_the_next_job_lies_within_its_interval_nine_times_in_ten() -> None:
    true, sd, posterior = simulated(4, 0.15)
    low, high = posterior.next_job(STATED)
    job = np.random.default_rng(5).normal(true, sd)
    assert 0.85 <= np.mean((low <= job) & (job <= high)) <= 0.95


def test_the_posterior_is_that_of_brute_force() -> None:
    """Prior times likelihood, integrated over mean and variance, for three jobs."""
    logs = np.array([0.31, 0.12, 0.40])
    prior = Prior(0.0, 0.25, 2.0)
    posterior = of_logs(prior, logs)

    means, variances = np.meshgrid(np.linspace(-1.2, 1.6, 1401), np.linspace(0.002, 0.8, 2000))
    scaled = stats.invgamma.pdf(variances, prior.freedom / 2, scale=prior.freedom * prior.sd**2 / 2)
    about = stats.norm.pdf(means, prior.mean, np.sqrt(variances / prior.weight))
    density = scaled * about
    for log in logs:
        density = density * stats.norm.pdf(log, means, np.sqrt(variances))
    by_mean = density.sum(axis=0) / density.sum()
    low, high = (float(one) for one in posterior.interval(STATED))
    along = means[0]
    assert by_mean[(low <= along) & (along <= high)].sum() == pytest.approx(STATED, abs=2e-3)
    assert (by_mean * along).sum() == pytest.approx(float(posterior.mean), abs=1e-3)


def test_without_a_prior_it_is_the_interval_of_the_text_books() -> None:
    """A prior of no weight at all: the t interval of a mean, by another library."""
    logs = np.random.default_rng(6).normal(0.2, 0.3, 400)
    low, high = of_logs(Prior(0.0, 0.3, 1e-9), logs).interval(STATED)
    other = DescrStatsW(logs).tconfint_mean(alpha=1 - STATED)
    assert (float(low), float(high)) == pytest.approx(other, abs=2e-3)


def test_few_jobs_lean_on_the_default_and_many_do_not() -> None:
    """Two jobs against a weight of two come half way, by hand; 98 come 98 hundredths of it."""
    prior = Prior(0.0, 0.25, 2.0)
    for jobs, share in ((2, 0.5), (98, 0.98)):
        assert float(of_logs(prior, np.full(jobs, 0.4)).mean) == pytest.approx(0.4 * share)
    none = of_logs(prior, np.empty(0))
    assert (float(none.mean), float(none.variance)) == pytest.approx((0.0, 0.25**2))
