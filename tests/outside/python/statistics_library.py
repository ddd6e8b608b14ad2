"""What scipy says about statistics that the main job also has.

Reads a list of questions, each a JSON object with its name under "ask" and its arguments beside it;
prints the list of answers in the same order. Whatever is asked wrongly ends the script with an error.
"""

import json
import math
import sys

import numpy as np
from scipy import optimize, stats

# Level of all intervals of times.
LEVEL = 0.999
# The least and the most of so many fits enclose one more of the same kind with probability LEVEL.
SETS = 1999


# --- Quantiles and probabilities ---------------------------------------------------------------------


def student_quantiles(df, p):
    return stats.t.ppf(p, df)


def student_two_sided_p(df, t):
    return 2.0 * stats.t.sf(np.abs(t), df)


def f_quantiles(first, second, p):
    return stats.f.ppf(p, first, second)


def gamma_quantiles(shape, p):
    return stats.gamma.ppf(p, shape)


def lognormal_quantiles(location, sigma, p):
    return stats.lognorm.ppf(p, sigma, scale=np.exp(location))


def coverage_by_f(n, p, low, high):
    """Probability that the p-quantile lies between two order statistics, through the F distribution.

    At least k of n lie below it with the probability that an F variable with 2k and 2(n - k + 1)
    degrees of freedom is at most (n - k + 1)p / (k(1 - p)).
    """
    n, p = np.asarray(n), np.asarray(p)

    def at_least(k):
        above = n - k + 1
        return stats.f.cdf(above * p / (k * (1.0 - p)), 2 * k, 2 * above)

    return at_least(np.asarray(low)) - at_least(np.asarray(high))


# --- Intervals ---------------------------------------------------------------------------------------


def wilson(cases):
    found = (
        stats.binomtest(successes, n).proportion_ci(level, method="wilson")
        for successes, n, level in cases
    )
    return [(interval.low, interval.high) for interval in found]


def means(test, data, levels):
    """Differences of the means of two samples, by Welch or by pairs."""
    tests = {
        "welch": lambda first, second: stats.ttest_ind(first, second, equal_var=False),
        "paired": stats.ttest_rel,
    }
    return [difference(tests[test](first, second), levels) for first, second in data]


def difference(test, levels):
    intervals = [test.confidence_interval(level) for level in levels]
    ends = [(interval.low, interval.high) for interval in intervals]
    return {"df": test.df, "p": test.pvalue, "ends": ends}


def empirical_likelihood(cases):
    """Upper ends of means by empirical likelihood, with ln(1/error) as the threshold of -sum ln(n w).

    Owen's equations: the weights w = 1/(n (1 + t (x - mu))) whose mean is mu, solved from outside in.
    """

    def upper(values, error):
        values = np.asarray(values)

        def short_of(mu):
            apart = values - mu
            if np.sum(apart) > -1e-9 * np.sum(np.abs(apart)):
                return math.log(error)  # at the mean nothing is tilted
            least = -1.0 / apart.max()
            # t is below 0 where mu is above the mean; at its end the largest value has all the weight.
            t = optimize.brentq(
                lambda t: np.sum(apart / (1.0 + t * apart)), least * (1.0 - 1e-12), 0.0, xtol=1e-15, rtol=1e-14
            )
            return np.sum(np.log1p(t * apart)) + math.log(error)

        mean, most = values.mean(), values.max()
        return optimize.brentq(short_of, mean, most - 1e-9 * (most - mean), xtol=1e-13, rtol=1e-13)

    return [upper(values, error) for values, error in cases]


# --- Times of a law ----------------------------------------------------------------------------------


def parameters(name, mean, cv):
    """Family, shapes, lower end and scale of the law of that mean and coefficient of variation."""
    root = {"triangular": math.sqrt(6.0), "uniform": math.sqrt(3.0)}
    half = mean * cv * root.get(name, 0.0)
    laws = {
        "lognormal": (stats.lognorm, [math.sqrt(math.log1p(cv**2))], 0.0, mean / math.hypot(1.0, cv)),
        "gamma": (stats.gamma, [cv**-2], 0.0, mean * cv**2),
        "exponential": (stats.expon, [], 0.0, mean),
        "triangular": (stats.triang, [0.5], mean - half, 2.0 * half),
        "uniform": (stats.uniform, [], mean - half, 2.0 * half),
    }
    return laws[name]


def distribution(law):
    family, shapes, lower, scale = parameters(**law)
    found = family(*shapes, loc=lower, scale=scale)
    # scipy itself has to find that mean and that variation in it.
    assert math.isclose(found.mean(), law["mean"])
    assert math.isclose(found.std(), law["mean"] * law["cv"])
    return found


def times_p(values, law):
    return stats.kstest(values, distribution(law).cdf).pvalue


def times_quantiles(values, law, p):
    """Quantiles of the law, each with the order-statistic interval that the values give it."""
    found = (stats.quantile_test(values, p=share).confidence_interval(LEVEL) for share in p)
    theirs = distribution(law).ppf(p)
    return [(q, ends.low, ends.high) for q, ends in zip(theirs, found, strict=True)]


def along_a_line(function, start, args=(), disp=0):
    """The least of a function of one number, for `fit`: a third of the work of its own search in many dimensions."""
    (first,) = start
    found = optimize.minimize_scalar(lambda x: function([x], *args), bracket=(0.97 * first, first), tol=1e-7)
    return [found.x]


def times_fit(values, law):
    """Parameters fitted by maximum likelihood, the lower end given and the triangle kept symmetric.

    Each with the least and the most of the same fit to sets of as many times drawn by scipy.
    """
    family, _, lower, scale = parameters(**law)
    symmetric = {"f0": 0.5, "scale": scale, "optimizer": along_a_line} if family is stats.triang else {}

    def fit(times):
        *shape, _, width = family.fit(times, **{"floc": lower, "scale": scale, **symmetric})
        return [width] if symmetric else [*shape, width]

    theirs, random = distribution(law), np.random.default_rng(1)
    fits = [fit(theirs.rvs(len(values), random_state=random)) for _ in range(SETS)]
    ours = fit(values)
    names = ["shape", "scale"][-len(ours) :]
    columns = zip(names, ours, np.transpose(fits), strict=True)
    return [(name, own, column.min(), column.max()) for name, own, column in columns]


# --- Draws -------------------------------------------------------------------------------------------


def draws_p(values, family, parameters):
    """p-value of draws against the family of that name, by Kolmogorov and Smirnov or by chi-square."""
    theirs = getattr(stats, family)(*parameters)
    if family != "poisson":
        return stats.kstest(values, theirs.cdf).pvalue
    # Cells that are about as likely as each other.
    edges = np.unique(theirs.ppf(np.linspace(0.05, 0.95, 19)))
    seen = np.bincount(np.searchsorted(edges, values), minlength=len(edges) + 1)
    expected = len(values) * np.diff([0.0, *theirs.cdf(edges), 1.0])
    return stats.chisquare(seen, expected).pvalue


# -----------------------------------------------------------------------------------------------------

QUESTIONS = [
    student_quantiles,
    student_two_sided_p,
    f_quantiles,
    gamma_quantiles,
    lognormal_quantiles,
    coverage_by_f,
    wilson,
    means,
    empirical_likelihood,
    times_p,
    times_quantiles,
    times_fit,
    draws_p,
]


def plain(value):
    """Numbers of numpy as numbers of Python."""
    return value.tolist()


def main():
    known = {question.__name__: question for question in QUESTIONS}
    answers = []
    for question in json.load(sys.stdin):
        arguments = dict(question)
        answers.append(known[arguments.pop("ask")](**arguments))
    # A NaN is no JSON and no answer.
    json.dump(answers, sys.stdout, default=plain, allow_nan=False)


main()
