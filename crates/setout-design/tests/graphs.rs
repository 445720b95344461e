//! The one graph, against networkx and against small drawings.
//!
//! Source of `data/graphs.txt`: networkx (`strongly_connected_components`,
//! `topological_generations`, `descendants`).

use std::collections::BTreeSet;

use setout_design::graph::Graph;

/// A graph whose nodes have names, drawn in words: `"a > b > d, a > c > d"`. An arrow runs from
/// what is needed to what needs it. Nodes are numbered as they first occur.
struct Drawing {
    names: Vec<String>,
    graph: Graph,
}

impl Drawing {
    fn new(drawn: &str) -> Self {
        let mut names: Vec<String> = Vec::new();
        let mut edges = Vec::new();
        for line in drawn.split(',') {
            let nodes: Vec<u32> =
                line.split('>').map(|name| number(&mut names, name.trim())).collect();
            edges.extend(nodes.windows(2).map(|pair| (pair[0], pair[1])));
        }
        let graph = Graph::new(names.len(), edges);
        Self { names, graph }
    }

    fn node(&self, name: &str) -> u32 {
        self.names.iter().position(|known| known == name).expect("a node of the drawing") as u32
    }

    fn nodes(&self, names: &str) -> Vec<u32> {
        names.split_whitespace().map(|name| self.node(name)).collect()
    }

    fn said(&self, nodes: &[u32]) -> String {
        let names: Vec<&str> = nodes.iter().map(|node| &*self.names[*node as usize]).collect();
        names.join(" ")
    }

    fn reach(&self, from: &str) -> String {
        self.said(&self.graph.reach(self.nodes(from)))
    }

    fn needs(&self, of: &str) -> String {
        self.said(&self.graph.needs(self.nodes(of)))
    }

    fn order(&self) -> String {
        self.said(self.graph.order())
    }

    fn cycles(&self) -> Vec<String> {
        self.graph.cycles().iter().map(|cycle| self.said(cycle)).collect()
    }

    /// The way from one of some nodes to another, of at most so many nodes.
    fn way(&self, from: &str, to: &str, most: usize) -> String {
        let way = self.graph.ways(&self.nodes(from), |_| true).to(self.node(to), most);
        let name = |node: &Option<u32>| node.map_or("…", |node| &*self.names[node as usize]);
        way.iter().map(name).collect::<Vec<_>>().join(" ")
    }

    fn shortest_cycle(&self) -> String {
        self.said(&self.graph.shortest_cycle(&self.graph.cycles()[0]))
    }
}

fn number(names: &mut Vec<String>, name: &str) -> u32 {
    let known = names.iter().position(|known| known == name);
    known.unwrap_or_else(|| {
        names.push(name.to_owned());
        names.len() - 1
    }) as u32
}

#[test]
fn reach_is_all_that_depends_and_nothing_else() {
    //  wall ──▶ inner ──▶ tongue ──▶ gap
    //  width ──▶┘          palate ──▶┘     eye ──▶ lid
    let drawing =
        Drawing::new("wall > inner > tongue > gap, width > inner, palate > gap, eye > lid");
    assert_eq!(drawing.reach("wall"), "inner tongue gap");
    assert_eq!(drawing.reach("palate"), "gap");
    assert_eq!(drawing.reach("gap"), "");
    assert_eq!(drawing.reach("width palate eye"), "inner lid tongue gap");
    assert_eq!(drawing.reach("wall tongue"), "inner tongue gap");
    assert_eq!(drawing.needs("gap"), "wall width palate inner tongue");
    assert_eq!(drawing.needs("wall"), "");
    assert_eq!(drawing.order(), "wall width palate eye inner lid tongue gap");
}

#[test]
fn two_edges_between_the_same_nodes_count_once() {
    let drawing = Drawing::new("a > b, a > b > c, a > c");
    assert_eq!(drawing.reach("a"), "b c");
    assert_eq!(drawing.graph.dependents(drawing.node("a")), drawing.nodes("b c"));
}

#[test]
fn a_node_on_a_circle_reaches_itself() {
    //  a ──▶ b ──▶ c ──▶ d        e ──▶ e
    //        ▲─────┘
    let drawing = Drawing::new("a > b > c > d, c > b, e > e");
    assert_eq!(drawing.cycles(), ["b c", "e"]);
    assert_eq!(drawing.reach("b"), "b c d");
    assert_eq!(drawing.reach("a"), "b c d");
    assert_eq!(drawing.reach("e"), "e");
    assert_eq!(drawing.needs("d"), "a b c");
}

#[test]
fn the_shortest_circle_is_shown_and_begins_with_its_first_node() {
    //  a ──▶ b ──▶ c ──▶ d ──▶ a, and c ──▶ b back
    assert_eq!(Drawing::new("a > b > c > d > a, c > b").shortest_cycle(), "b c");
    assert_eq!(Drawing::new("a > b > a, b > b").shortest_cycle(), "b");
    assert_eq!(Drawing::new("c > a > b > c").shortest_cycle(), "c a b");
}

#[test]
fn a_way_is_a_shortest_one() {
    //  a ──▶ b ──▶ c ──▶ d
    //  └───────────▶ x ──▶ d
    let drawing = Drawing::new("a > b > c > d, a > x > d, loose > end");
    assert_eq!(drawing.way("a", "d", 9), "a x d");
    assert_eq!(drawing.way("a c", "d", 9), "c d");
    assert_eq!(drawing.way("d", "d", 9), "d");
    assert_eq!(drawing.way("loose", "d", 9), "");
}

#[test]
fn a_long_way_is_shown_by_its_ends() {
    let drawing = Drawing::new("a > b > c > d > e > f > g");
    assert_eq!(drawing.way("a", "g", 7), "a b c d e f g");
    assert_eq!(drawing.way("a", "g", 6), "a … d e f g");
    assert_eq!(drawing.way("a", "g", 4), "a … f g");
}

#[test]
fn a_way_keeps_to_the_nodes_it_may_go_through() {
    let drawing = Drawing::new("a > x > d, a > b > c > d");
    let shut = drawing.node("x");
    let ways = drawing.graph.ways(&drawing.nodes("a"), |node| node != shut);
    let way: Vec<u32> = ways.to(drawing.node("d"), 9).into_iter().flatten().collect();
    assert_eq!(way, drawing.nodes("a b c d"));
    assert_eq!(ways.to(shut, 9), []);
}

/// One graph of the fixture, with what networkx found.
#[derive(Default)]
struct Known {
    nodes: usize,
    edges: Vec<(u32, u32)>,
    components: Vec<Vec<u32>>,
    cyclic: BTreeSet<u32>,
    layers: Vec<Vec<u32>>,
    below: Vec<BTreeSet<u32>>,
}

fn numbers<C: FromIterator<u32>>(text: &str) -> C {
    text.split_whitespace().map(|word| word.parse().expect("a number")).collect()
}

fn fixture() -> Vec<Known> {
    let mut graphs: Vec<Known> = Vec::new();
    let lines = include_str!("data/graphs.txt").lines();
    for line in lines.filter(|line| !line.is_empty() && !line.starts_with('#')) {
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        if word == "nodes" {
            let nodes = rest.parse().expect("a number");
            graphs.push(Known { nodes, below: vec![BTreeSet::new(); nodes], ..Known::default() });
        }
        let graph = graphs.last_mut().expect("a `nodes` line first");
        match word {
            "nodes" => {}
            "edges" => graph.edges = rest.split_whitespace().map(edge).collect(),
            "component" => graph.components.push(numbers(rest)),
            "cyclic" => graph.cyclic = numbers(rest),
            "layer" => graph.layers.push(numbers(rest)),
            "below" => {
                let (node, below) = rest.split_once(':').expect("a node and those below it");
                graph.below[node.parse::<usize>().expect("a number")] = numbers(below);
            }
            _ => panic!("{line}"),
        }
    }
    graphs
}

fn edge(text: &str) -> (u32, u32) {
    let (from, to) = text.split_once('>').expect("an edge");
    (from.parse().expect("a number"), to.parse().expect("a number"))
}

#[test]
fn reach_and_needs_agree_with_networkx() {
    let graphs = fixture();
    assert_eq!(graphs.len(), 12);
    for (index, known) in graphs.iter().enumerate() {
        let graph = Graph::new(known.nodes, known.edges.iter().copied());
        for node in 0..known.nodes as u32 {
            let on_circle = known.cyclic.contains(&node);
            let mut reach: BTreeSet<u32> = graph.reach([node]).into_iter().collect();
            assert_eq!(reach.remove(&node), on_circle, "graph {index}, node {node}");
            assert_eq!(reach, known.below[node as usize], "graph {index}, node {node}");
            let above = |other: &u32| known.below[*other as usize].contains(&node);
            let mut needs: BTreeSet<u32> = graph.needs([node]).into_iter().collect();
            assert_eq!(needs.remove(&node), on_circle, "graph {index}, node {node}");
            assert_eq!(needs, (0..known.nodes as u32).filter(above).collect(), "graph {index}");
        }
    }
}

#[test]
fn components_and_layers_agree_with_networkx() {
    for (index, known) in fixture().iter().enumerate() {
        let graph = Graph::new(known.nodes, known.edges.iter().copied());
        let on_circles: BTreeSet<u32> = graph.cycles().iter().flatten().copied().collect();
        assert_eq!(on_circles, known.cyclic, "graph {index}");
        let larger = graph.cycles().iter().filter(|cycle| cycle.len() > 1);
        assert_eq!(larger.cloned().collect::<Vec<_>>(), known.components, "graph {index}");
        if known.cyclic.is_empty() {
            assert_eq!(graph.order(), known.layers.concat(), "graph {index}");
        }
    }
}

#[test]
fn the_order_is_valid_circles_or_not() {
    for (index, known) in fixture().iter().enumerate() {
        let graph = Graph::new(known.nodes, known.edges.iter().copied());
        let all: BTreeSet<u32> = graph.order().iter().copied().collect();
        assert_eq!(all, (0..known.nodes as u32).collect(), "graph {index}");
        let same = |a: u32, b: u32| graph.cycles().iter().any(|c| c.contains(&a) && c.contains(&b));
        for (from, to) in known.edges.iter().copied().filter(|(from, to)| !same(*from, *to)) {
            assert!(graph.rank(from) < graph.rank(to), "graph {index}: {from} before {to}");
        }
    }
}

#[test]
fn ways_run_along_edges_and_are_as_long_as_the_distance() {
    for known in fixture() {
        let graph = Graph::new(known.nodes, known.edges.iter().copied());
        for from in 0..known.nodes as u32 {
            let distances = distances(&known, from);
            let ways = graph.ways(&[from], |_| true);
            for to in (0..known.nodes as u32).filter(|to| *to != from) {
                let way: Vec<u32> = ways.to(to, known.nodes).into_iter().flatten().collect();
                assert_eq!(!way.is_empty(), known.below[from as usize].contains(&to));
                if way.is_empty() {
                    continue;
                }
                assert_eq!((way.first(), way.last()), (Some(&from), Some(&to)));
                assert!(way.windows(2).all(|pair| known.edges.contains(&(pair[0], pair[1]))));
                assert_eq!(way.len(), 1 + distances[to as usize].expect("reached"));
            }
        }
    }
}

/// How many edges away every node is, by widening a ring: the slow way, and another one.
fn distances(known: &Known, from: u32) -> Vec<Option<usize>> {
    let mut distances = vec![None; known.nodes];
    distances[from as usize] = Some(0);
    for ring in 0..known.nodes {
        for (a, b) in &known.edges {
            if distances[*a as usize] == Some(ring) && distances[*b as usize].is_none() {
                distances[*b as usize] = Some(ring + 1);
            }
        }
    }
    distances
}
